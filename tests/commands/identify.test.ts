/** The one thing that a person beside the printer notices: only on request, once, and said in one sentence. */
import { afterAll, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import { outfeed } from './captured-io.js';

const devices: RunningDevice[] = [];
afterAll(() => Promise.all(devices.map((device) => device.close())));

async function started(scenario: Parameters<typeof startDevice>[0], address: string) {
  const device = await startDevice(scenario, { address });
  devices.push(device);
  const uri = device.ippUri === null ? [] : ['--ipp-uri', device.ippUri];
  return { device, argv: [address, '--timeout', '1000', '--snmp-port', String(device.snmpPort), ...uri] };
}

test('asked, and what the printer says', async () => {
  const { device, argv } = await started({ name: 'loft' }, '127.35.21.1');
  await outfeed(['show', ...argv]);
  await outfeed(['why', ...argv]);
  expect(device.received().ippIdentified).toBe(0);
  const { code, out } = await outfeed(['show', ...argv, '--identify']);
  expect(code).toBe(0);
  expect(out.trimEnd().split('\n').at(-1)).toBe(
    'The printer was asked to identify itself (flash, sound) and says that it does so now.',
  );
  expect(device.received().ippIdentified).toBe(1);
});

test('with --json the sentence goes to stderr', async () => {
  const { argv } = await started({ name: 'attic' }, '127.35.21.2');
  const { out, err } = await outfeed(['show', ...argv, '--identify', '--json']);
  expect(JSON.parse(out)).toMatchObject({ schema: 'outfeed.printer/1' });
  expect(err).toContain('was asked to identify itself');
});

test('a printer that does not offer it, one that refuses, one without IPP', async () => {
  const lacking = await started(
    { name: 'shed', ipp: { attributes: { 'operations-supported': { tag: 'enum', value: [2, 4, 10, 11] } } } },
    '127.35.21.3',
  );
  expect((await outfeed(['show', ...lacking.argv, '--identify'])).out).toContain('does not offer to identify itself');
  expect(lacking.device.received().ippIdentified).toBe(0);
  const refusing = await started(
    { name: 'barn', ipp: { fault: { status: 'client-error-not-possible', operations: ['Identify-Printer'] } } },
    '127.35.21.4',
  );
  expect((await outfeed(['show', ...refusing.argv, '--identify'])).out).toContain(
    'did not: client-error-not-possible.',
  );
  const without = await started({ name: 'hut', ipp: false }, '127.35.21.5');
  expect((await outfeed(['show', ...without.argv, '--identify'])).out).toContain('does not answer over IPP');
});
