import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { Scenario } from '../../src/demo/device.js';
import { loadOffice, OFFICE_FOLDER, parseScenario } from '../../src/demo/load.js';
import { snmpTree } from '../../src/demo/snmp-tree.js';
import { LAYERS } from '../../src/model/layers.js';

const files = readdirSync(OFFICE_FOLDER).filter((file) => file.endsWith('.yaml'));
const office = loadOffice();

describe('device files', () => {
  test.each(files)('%s loads, is named after its device and builds its objects', (file) => {
    const scenario = parseScenario(readFileSync(join(OFFICE_FOLDER, file), 'utf8'), file);
    expect(`${scenario.name}.yaml`).toBe(file);
    expect(scenario.address).toMatch(/^127\.77\.0\.\d+$/);
    if (scenario.kind === 'spooler' || !scenario.snmp) return;
    const tree = snmpTree(scenario, scenario.snmp, () => 1);
    expect(tree.size).toBeGreaterThan(scenario.kind === 'printer' ? 100 : 30);
  });

  test('addresses, serial numbers and names are each used once', () => {
    for (const values of [office.map(({ address }) => address), office.flatMap(({ serial }) => serial ?? [])]) {
      expect(new Set(values).size).toBe(values.length);
    }
  });

  test('the office shows what a reader should learn', () => {
    const faults = office.flatMap(({ expect: found }) => (found?.severity === 'fault' ? [found] : []));
    expect(office.length).toBeGreaterThanOrEqual(14);
    expect(new Set(faults.map(({ layer }) => layer)).size).toBeGreaterThanOrEqual(9);
    expect(faults.some(({ others }) => others.length > 0)).toBe(true);
    expect(office.some(({ kind }) => kind === 'other')).toBe(true);
    for (const { layer } of faults) expect(LAYERS).toContain(layer);
  });

  test('every queue that a printer names stands on the print server', () => {
    const queues = office.flatMap((scenario) => (scenario.kind === 'spooler' ? scenario.queues : []));
    const named = office.flatMap((scenario) => (scenario.kind === 'printer' ? scenario.queues : []));
    expect(named.toSorted()).toEqual(queues.map(({ name }) => name).toSorted());
  });

  test('a broken file is refused in one sentence that names file and key', () => {
    expect(() => parseScenario('name: x\nsnmp: { printer: sleepy }', 'x.yaml')).toThrow(/x\.yaml.*snmp\.printer/);
    expect(() => parseScenario('name: x\ntray: []', 'x.yaml')).toThrow(/x\.yaml.*tray/);
    expect(() => parseScenario('name: [', 'x.yaml')).toThrow(/x\.yaml is not YAML/);
    expect(() => parseScenario('kind: other\nname: x\nport: 1', 'x.yaml')).toThrow(/x\.yaml.*port/);
  });

  test('a scenario of one word is a healthy printer', () => {
    const scenario = Scenario.parse({ name: 'bare' });
    expect(scenario).toMatchObject({ kind: 'printer', state: 'idle', raw: 'open', alerts: [] });
  });
});
