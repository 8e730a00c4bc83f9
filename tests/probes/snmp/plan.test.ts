import { describe, expect, test } from 'vitest';
import { BATCHES, isBinary, objectNamed, SCALAR_GROUPS, TABLES } from '../../../src/probes/snmp/plan.js';
import { OBJECTS } from '../../../src/registry/objects.generated.js';

describe('the plan', () => {
  test('names objects that the standards have, in the table they belong to', () => {
    for (const names of Object.values(SCALAR_GROUPS))
      for (const name of names) expect(objectNamed(name).role).toBe('scalar');
    for (const [what, names] of Object.entries(TABLES))
      for (const name of names) {
        const { role, table } = objectNamed(name);
        expect(role).toBe('column');
        expect(what === 'ifTable' ? ['ifTable', 'ifXTable'] : [what]).toContain(table);
      }
    expect(() => objectNamed('prtNoSuchThing')).toThrow(RangeError);
  });

  test('reads each table exactly once, and asks ahead only for what is asked whole later', () => {
    const asked = BATCHES.flatMap(({ of }) => of);
    const tables = asked.filter((of) => of in TABLES);
    expect([...tables].sort()).toEqual(Object.keys(TABLES).sort());
    const single = asked.filter((of) => !(of in TABLES));
    expect(single).toEqual(['entPhysicalFirmwareRev', 'finDeviceType']);
    for (const ahead of single) expect(BATCHES.some(({ when }) => when === ahead)).toBe(true);
  });

  test('holds every column of the state, alert, supply and input tables that a document needs', () => {
    const needed = Object.keys(OBJECTS).filter((name) => /^prt(Alert|MarkerSupplies)(?!.*Events$)/.test(name));
    const columns = needed.filter(
      (name) => OBJECTS[name]?.role === 'column' && !/^prt(Alert|MarkerSupplies)Index$/.test(name),
    );
    const planned = [...(TABLES.prtAlertTable ?? []), ...(TABLES.prtMarkerSuppliesTable ?? [])];
    expect([...planned].sort()).toEqual(columns.sort());
  });

  test('knows which octets are never text', () => {
    expect(['hrPrinterDetectedErrorState', 'ifPhysAddress', 'hrSystemDate'].every(isBinary)).toBe(true);
    expect(['prtAlertDescription', 'sysDescr', 'prtMarkerSuppliesLevel'].some(isBinary)).toBe(false);
  });
});
