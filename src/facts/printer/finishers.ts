/** finDeviceTable and finSupplyTable (RFC 3806 section 8), printer-finisher (PWG 5100.13; its keys from memory). */
import type { Finisher } from '../../model/printer.js';
import { ALERT_CODES, ENUMS } from '../../registry/enums.generated.js';
import { type IppReading, texts } from './ipp-values.js';
import { keyInteger, readKeyValues } from './key-values.js';
import { findLabel } from './labels.js';
import { type Note, readLevel } from './levels.js';
import type { SnmpDevice } from './parts.js';
import type { From } from './precedence.js';
import { classOfType } from './snmp-supplies.js';
import { deviceRows, type IndexedRow, integer, label } from './snmp-tables.js';

/**
 * Finisher types by number: the alert codes of the finisher are 30000 + 100 times the type + a generic code, and
 * their names begin with the type's (IANA-PRINTER-MIB), so the cover code of each type gives its name.
 */
const TYPES: Readonly<Record<number, string>> = Object.fromEntries([
  [1, 'other'],
  [2, 'unknown'],
  ...Object.entries(ALERT_CODES).flatMap(([code, { name }]) => {
    const type = Math.floor((Number(code) - 30_000) / 100);
    return type > 2 && name.endsWith('CoverOpen') ? [[type, name.slice(0, -'CoverOpen'.length)]] : [];
  }),
]);

const PRESENT: Readonly<Record<string, boolean>> = { on: true, off: false, notPresent: false };

function supplyOf(snmp: SnmpDevice, { index, row }: IndexedRow, note: Note): Finisher['supplies'][number] {
  const name = snmp.text(row.get('finSupplyDescription')) ?? `Finisher supply ${index}`;
  const type = label(row, 'finSupplyType', ENUMS.PrtMarkerSuppliesTypeTC) ?? 'unknown';
  const unit = label(row, 'finSupplyUnit', ENUMS.PrtMarkerSuppliesSupplyUnitTC);
  return {
    index,
    name,
    type,
    class: label(row, 'finSupplyClass', ENUMS.PrtMarkerSuppliesClassTC) ?? classOfType(type),
    unit,
    ...readLevel(
      integer(row, 'finSupplyCurrentLevel'),
      integer(row, 'finSupplyMaxCapacity'),
      unit,
      `Finisher supply ${index} (${name})`,
      note,
    ),
  };
}

function bySnmp(snmp: SnmpDevice, note: Note): readonly Finisher[] {
  const supplies = deviceRows(snmp.tables, 'finSupplyTable', snmp.device);
  return deviceRows(snmp.tables, 'finDeviceTable', snmp.device).map(({ index, row }) => {
    const name = snmp.text(row.get('finDeviceDescription')) ?? `Finisher ${index}`;
    const unit = label(row, 'finDeviceCapacityUnit', ENUMS.PrtCapacityUnitTC);
    const present = label(row, 'finDevicePresentOnOff', ENUMS.PresentOnOff);
    return {
      index,
      name,
      type: label(row, 'finDeviceType', TYPES),
      present: present === null ? null : (PRESENT[present] ?? null),
      unit,
      ...readLevel(
        integer(row, 'finDeviceCurrentCapacity'),
        integer(row, 'finDeviceMaxCapacity'),
        unit,
        `Finisher ${index} (${name})`,
        note,
      ),
      status: integer(row, 'finDeviceStatus'),
      supplies: supplies
        .filter((supply) => integer(supply.row, 'finSupplyDeviceIndex') === index)
        .map((supply) => supplyOf(snmp, supply, note)),
    };
  });
}

function byIpp(ipp: IppReading, note: Note): readonly Finisher[] {
  const descriptions = texts(ipp.attributes, 'printer-finisher-description');
  return texts(ipp.attributes, 'printer-finisher').flatMap((text, at) => {
    const keys = readKeyValues(text);
    if (keys.values.size === 0) return [];
    const index = keyInteger(keys, 'index') ?? at + 1;
    const name = descriptions[at] || `Finisher ${index}`;
    const unit = findLabel(ENUMS.PrtCapacityUnitTC, keys.values.get('unit'))?.name ?? null;
    const present = findLabel(ENUMS.PresentOnOff, keys.values.get('presentonoff'))?.name;
    return {
      index,
      name,
      type: findLabel(TYPES, keys.values.get('type'))?.name ?? null,
      present: present === undefined ? null : (PRESENT[present] ?? null),
      unit,
      ...readLevel(
        keyInteger(keys, 'capacity'),
        keyInteger(keys, 'maxcapacity'),
        unit,
        `Finisher ${index} (${name})`,
        note,
      ),
      status: keyInteger(keys, 'status'),
      supplies: [],
    };
  });
}

/** Staplers, punchers and their fellows: from SNMP where it has rows, else from IPP. */
export function readFinishers(
  snmp: SnmpDevice | undefined,
  ipp: IppReading | undefined,
  from: From,
  note: Note,
): readonly Finisher[] {
  const rows = snmp === undefined ? [] : bySnmp(snmp, note);
  if (rows.length > 0) {
    from.set('finishers', 'snmp');
    return rows;
  }
  const strings = ipp === undefined ? [] : byIpp(ipp, note);
  if (strings.length > 0) from.set('finishers', 'ipp');
  return strings;
}
