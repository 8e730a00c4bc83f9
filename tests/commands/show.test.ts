import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import { outfeed } from './captured-io.js';

const devices: RunningDevice[] = [];
afterAll(() => Promise.all(devices.map((device) => device.close())));

async function started(scenario: Parameters<typeof startDevice>[0], address: string): Promise<string[]> {
  const device = await startDevice(scenario, { address });
  devices.push(device);
  return [
    'show',
    address,
    '--timeout',
    '1500',
    ...(device.snmpPort === null ? [] : ['--snmp-port', String(device.snmpPort)]),
    ...(device.ippUri === null ? [] : ['--ipp-uri', device.ippUri]),
  ];
}

describe('a printer that is well', () => {
  let argv: string[];
  beforeAll(async () => {
    argv = await started({ name: 'gate-house' }, '127.35.1.1');
  });

  test('text: exit 0, nothing on stderr, no line wider than the terminal, no colour', async () => {
    const { code, out, err } = await outfeed(argv);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(out).toContain('Sandpiper 300 mono');
    expect(out).toMatch(/^Trays {4}Tray 1 .*\[######\.\.\] 72 %/m);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(out).not.toContain('\u001b');
  });

  test('colour only where it is wanted', async () => {
    expect((await outfeed(argv, { color: true })).out).toContain('\u001b[');
    expect((await outfeed([...argv, '--no-color'], { color: true })).out).not.toContain('\u001b');
  });

  test('--json: one document, joined from both sources', async () => {
    const { code, out, err } = await outfeed([...argv, '--json']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const document = JSON.parse(out) as PrinterDocument;
    expect(document).toMatchObject({ schema: 'outfeed.printer/1', address: '127.35.1.1', isPrinter: true });
    expect(document.state).toMatchObject({ ipp: 'idle', printer: 'idle' });
    expect(document.trays[0]).toMatchObject({ level: 180, capacity: 250, percent: 72 });
  });

  test('--verbose logs what was asked to stderr, one JSON object a line', async () => {
    const { err } = await outfeed([...argv, '--verbose']);
    const lines = err
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(lines.some((line) => line.source === 'snmp' && line.outcome === 'answered')).toBe(true);
    expect(err).not.toContain('"value"');
  });
});

describe('one that is not', () => {
  test('a critical alert: exit 1, and it comes before the supplies', async () => {
    const argv = await started(
      {
        name: 'pantry',
        state: 'stopped',
        alerts: [{ group: 'input', index: 1, code: 'subunitEmpty', description: 'Tray 1 is empty' }],
        trays: [{ name: 'Tray 1', level: 0 }],
      },
      '127.35.1.2',
    );
    const { code, out } = await outfeed(argv);
    expect(code).toBe(1);
    expect(out.indexOf('X Tray 1')).toBeGreaterThan(0);
    expect(out.indexOf('X Tray 1')).toBeLessThan(out.indexOf('Supplies'));
    expect(out).toContain('EMPTY');
  });

  test('a printer that is down without saying why: exit 1', async () => {
    const argv = await started({ name: 'loft', state: 'stopped', ipp: false }, '127.35.1.7');
    const { code, out } = await outfeed([...argv, '--json']);
    expect((JSON.parse(out) as PrinterDocument).state).toMatchObject({ device: 'down', ipp: null });
    expect(code).toBe(1);
  });

  test('SNMP only and IPP only are both enough', async () => {
    const snmpOnly = await started({ name: 'attic', ipp: false }, '127.35.1.3');
    const ippOnly = await started({ name: 'cellar', snmp: false }, '127.35.1.4');
    expect((await outfeed(snmpOnly)).code).toBe(0);
    expect((await outfeed([...ippOnly, '--timeout', '300', '--retries', '0'])).code).toBe(0);
  });

  test('text that a printer made up can not act on the terminal', async () => {
    const hostile = 'Desk\u001b]0;owned\u0007\u202e\u009b31m';
    const argv = await started(
      { name: 'joker', location: hostile, console: [hostile], trays: [{ name: hostile }] },
      '127.35.1.5',
    );
    for (const extra of [[], ['--json'], ['--verbose']]) {
      const { out, err } = await outfeed([...argv, ...extra]);
      expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
    }
  });
});

describe('what is no printer', () => {
  test('is shown as what it is: exit 3', async () => {
    const argv = await started({ kind: 'other', name: 'shelf', descr: 'File server' }, '127.35.1.6');
    const { code, out } = await outfeed([...argv, '--timeout', '500', '--retries', '0']);
    expect(code).toBe(3);
    expect(out).toContain('not a printer');
  });
});

describe('nothing there', () => {
  const quick = ['--timeout', '200', '--retries', '0'];

  test('exit 3 with one sentence that says what to try', async () => {
    const { code, out, err } = await outfeed(['show', '127.35.1.99', ...quick]);
    expect({ code, out }).toEqual({ code: 3, out: '' });
    expect(err).toMatch(/^outfeed: 127\.35\.1\.99 tells nothing .*"outfeed why 127\.35\.1\.99" finds out more\.\n$/);
  });

  test('a name that nobody knows', async () => {
    const { code, err } = await outfeed(['show', 'no-such-printer.invalid', ...quick]);
    expect(code).toBe(3);
    expect(err).toContain('has no address');
  });

  test('--json still prints one document', async () => {
    const { code, out } = await outfeed(['show', '127.35.1.99', '--json', ...quick]);
    expect(code).toBe(3);
    expect(JSON.parse(out)).toMatchObject({ schema: 'outfeed.printer/1', isPrinter: false });
  });
});
