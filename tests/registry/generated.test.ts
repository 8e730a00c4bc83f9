import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { ALERT_CODES, ENUMS, ERROR_STATE_BITS } from '../../src/registry/enums.generated.js';
import { generateModules } from '../../src/registry/generate.js';
import { OPERATION_NAMES, STATUS_NAMES, VALUE_TAG_NAMES } from '../../src/registry/ipp.generated.js';
import { OBJECTS } from '../../src/registry/objects.generated.js';
import {
  PRINTER_STATE_REASONS,
  REASON_BY_CODE,
  REASON_BY_GROUP_AND_CODE,
  SUFFIX_TRAPS,
} from '../../src/registry/reasons.generated.js';

describe('generated registries', () => {
  for (const [name, text] of Object.entries(generateModules())) {
    test(`${name} is what shared/registries gives`, () => {
      expect(readFileSync(new URL(`../../src/registry/${name}`, import.meta.url), 'utf8')).toBe(text);
    });
  }

  test('objects carry the OIDs of their standards', () => {
    // RFC 3805 section 6, RFC 2790 section 6, RFC 3418.
    expect(OBJECTS.prtAlertCode).toMatchObject({
      oid: '1.3.6.1.2.1.43.18.1.1.7',
      role: 'column',
      table: 'prtAlertTable',
    });
    expect(OBJECTS.hrPrinterDetectedErrorState).toMatchObject({
      oid: '1.3.6.1.2.1.25.3.5.1.2',
      table: 'hrPrinterTable',
    });
    expect(OBJECTS.prtMarkerSuppliesLevel?.oid).toBe('1.3.6.1.2.1.43.11.1.1.9');
    expect(OBJECTS.sysUpTime).toEqual({ oid: '1.3.6.1.2.1.1.3', syntax: 'TimeTicks', role: 'scalar' });
  });

  test('every column and entry names its table, and a table is named by nobody but its own', () => {
    for (const [name, object] of Object.entries(OBJECTS)) {
      if (object.role === 'table' || object.role === 'scalar') expect(object.table, name).toBeUndefined();
      else expect(OBJECTS[object.table ?? '']?.role, name).toBe('table');
    }
  });

  test('counts are the registries’ own', () => {
    expect(Object.keys(ALERT_CODES)).toHaveLength(807);
    expect(PRINTER_STATE_REASONS).toHaveLength(875);
    expect(SUFFIX_TRAPS).toHaveLength(23);
    expect(ERROR_STATE_BITS).toHaveLength(15);
    expect(Object.keys(OPERATION_NAMES)).toHaveLength(100);
    expect(Object.keys(STATUS_NAMES)).toHaveLength(50);
    expect(Object.keys(VALUE_TAG_NAMES)).toHaveLength(20);
  });

  test('every keyword that a code stands for is registered', () => {
    const known = new Set(PRINTER_STATE_REASONS);
    for (const reason of [...Object.values(REASON_BY_CODE), ...Object.values(REASON_BY_GROUP_AND_CODE)])
      expect(known.has(reason), reason).toBe(true);
  });

  test('enumerations keep the standards’ spelling', () => {
    expect(ENUMS.hrDeviceStatus?.[5]).toBe('down'); // RFC 2790
    expect(ENUMS.PrtMarkerSuppliesSupplyUnitTC?.[14]).toBe('hundrethsOfFluidOunces'); // RFC 3805, its own spelling
    expect(ENUMS.PrtAlertGroupTC?.[11]).toBe('markerSupplies');
  });
});
