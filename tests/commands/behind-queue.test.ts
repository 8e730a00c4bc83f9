/** TARGET is the URI of a print queue: the device behind it is meant, and the queue is judged with it. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import type { WhyDocument } from '../../src/model/why.js';
import { outfeed } from './captured-io.js';

const PRINTER = '127.35.22.1';
let printer: RunningDevice;
let server: RunningDevice;
beforeAll(async () => {
  printer = await startDevice({ name: 'gallery' }, { address: PRINTER });
  server = await startDevice(
    {
      kind: 'spooler',
      name: 'server',
      queues: [
        { name: 'sound', deviceUri: printer.ippUri ?? '' },
        { name: 'held up', deviceUri: `socket://${PRINTER}:${printer.rawPort}`, state: 'stopped', reasons: ['paused'] },
        { name: 'cable', deviceUri: 'usb://Sandpiper/300' },
      ],
    },
    { address: '127.35.22.2' },
  );
});
afterAll(() => Promise.all([printer.close(), server.close()]));

const run = (command: string, queue: string, ...more: string[]) =>
  outfeed([
    command,
    server.queueUris[queue] ?? '',
    '--snmp-port',
    String(printer.snmpPort),
    '--timeout',
    '1000',
    ...more,
  ]);

test('show: says that it is a queue and where it leads, and shows the device', async () => {
  const { code, out, err } = await run('show', 'sound', '--json');
  const document = JSON.parse(out) as PrinterDocument;
  expect(code).toBe(0);
  expect(document).toMatchObject({ address: PRINTER, isPrinter: true, identity: { name: 'gallery' } });
  expect(err).toBe(
    `${server.queueUris.sound} is a print queue that sends to ${printer.ippUri}, the device that the following is about.\n`,
  );
  expect((await run('show', 'sound', '--quiet')).err).toBe('');
});

test('why: the queue is on the way, with its own layer', async () => {
  const { code, out } = await run('why', 'held up', '--json');
  const document = JSON.parse(out) as WhyDocument;
  expect(code).toBe(1);
  expect(document).toMatchObject({
    target: server.queueUris['held up'],
    printer: { address: PRINTER },
    verdict: { layer: 'queue', cause: 'queue-paused' },
  });
});

test('a device without an address: what the queue tells', async () => {
  const { out, err } = await run('why', 'cable', '--json');
  const document = JSON.parse(out) as WhyDocument;
  expect(err).toContain('has no address to ask');
  expect(document.printer.address).toBe('127.35.22.2');
  expect(document.evidence.some(({ source }) => source === 'spooler')).toBe(true);
});

test('a URI that no spooler knows is asked as it stands', async () => {
  const uri = `${server.queueUris.sound}-gone`;
  const { err } = await outfeed(['why', uri, '--timeout', '300', '--retries', '0', '--json']);
  expect(err).not.toContain('is a print queue');
});
