import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { PrinterScenario } from '../../src/demo/device.js';
import { loadOffice, parseScenario } from '../../src/demo/load.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import { outfeed } from './captured-io.js';

const FIRST = '127.35.61.1';
const AGAIN = '127.35.61.2';

let folder: string;
const running: RunningDevice[] = [];
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-record-'));
});
afterAll(async () => {
  await Promise.all(running.map((device) => device.close()));
  rmSync(folder, { recursive: true, force: true });
});

async function show(scenario: Parameters<typeof startDevice>[0], address: string, ...more: string[]) {
  const device = await startDevice(scenario, { address });
  running.push(device);
  const doors = [
    ...(device.snmpPort === null ? [] : ['--snmp-port', String(device.snmpPort)]),
    ...(device.ippUri === null ? [] : ['--ipp-uri', device.ippUri]),
  ];
  const { code, out, err } = await outfeed(['show', address, '--json', '--timeout', '3000', ...doors, ...more], {
    cwd: folder,
  });
  return { code, err, document: JSON.parse(out) as PrinterDocument };
}

/** What must be the same: all but who and where it is, and when it was asked. */
function shape({ identity, address, readAt, alsoHere, upTimeTicks, ...rest }: PrinterDocument) {
  const known = Object.entries(identity).map(([key, value]) => [key, value === null ? null : typeof value]);
  const kept = { ...rest, known, others: alsoHere.length };
  return JSON.parse(JSON.stringify(kept).replaceAll(/([0-9a-f]{2}:){5}[0-9a-f]{2}/g, 'a hardware address'));
}

const printers = loadOffice().filter(
  (scenario): scenario is PrinterScenario =>
    scenario.kind === 'printer' && (scenario.snmp !== false || scenario.ipp !== false),
);
/** One of each kind: colour and alerts, SNMP only, IPP only, nonsense levels, jams, a capped agent. */
const CASES = printers.filter(({ name }) =>
  [
    'drawing-room',
    'canteen',
    'chart-room',
    'copy-corner',
    'front-desk',
    'harbour-master',
    'warehouse-labels',
    'slipway',
  ].includes(name),
);

describe('outfeed show TARGET --record FILE', () => {
  test.each(CASES.map((scenario) => [scenario.name, scenario] as const))(
    '%s: what was recorded answers as the printer did, and tells nothing of whose it is',
    async (name, scenario) => {
      const before = await show(scenario, FIRST, '--record', `${name}.yaml`);
      await running.pop()?.close();
      const text = readFileSync(join(folder, `${name}.yaml`), 'utf8');
      const after = await show(parseScenario(text, name), AGAIN);
      await running.pop()?.close();
      expect(shape(after.document)).toEqual(shape(before.document));
      expect(after.code).toBe(before.code);
      const { serial, location, name: called } = before.document.identity;
      for (const secret of [serial, location, called, FIRST, '127.35.61', scenario.contact]) {
        if (secret) expect(text.toLowerCase()).not.toContain(secret.toLowerCase());
      }
    },
    30_000,
  );

  test('the cases are there', () => {
    expect(CASES.length).toBeGreaterThanOrEqual(6);
  });

  test('says on stderr where it is; stdout stays one document', async () => {
    const { err } = await show({ name: 'gate-house' }, FIRST, '--record', 'gate.yaml');
    expect(err).toBe('What it answered is in gate.yaml, with stand-ins for names, addresses and serial numbers.\n');
  });

  test('a place that can not be written is refused in one sentence', async () => {
    const { code, err } = await outfeed(['show', FIRST, '--record', 'no/such/x.yaml', '--timeout', '200'], {
      cwd: folder,
    });
    expect([code, err]).toEqual([3, expect.stringMatching(/^outfeed: 127\.35\.61\.1 tells nothing/)]);
    const device = running.at(-1);
    const doors = ['--snmp-port', String(device?.snmpPort), '--ipp-uri', device?.ippUri ?? ''];
    const refused = await outfeed(['show', FIRST, ...doors, '--record', 'no/such/x.yaml'], { cwd: folder });
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/^outfeed: Can't write .*x\.yaml: its folder does not exist; name another place\.\n$/);
  });

  test('a device such as /dev/null is written to, not replaced', async () => {
    const device = running.at(-1);
    const doors = ['--snmp-port', String(device?.snmpPort), '--ipp-uri', device?.ippUri ?? ''];
    writeFileSync(join(folder, 'marker'), '');
    const { code } = await outfeed(['show', FIRST, ...doors, '--record', '/dev/null'], { cwd: folder });
    expect(code).toBe(0);
    expect(readFileSync('/dev/null').length).toBe(0);
  });
});
