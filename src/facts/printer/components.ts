/** Names of the parts that prtAlertGroup and prtAlertGroupIndex point to (RFC 3805 section 6, prtAlertTable). */
import { ENUMS } from '../../registry/enums.generated.js';
import { deviceRows, type IndexedRow, label, plainRows, type SnmpTables } from './snmp-tables.js';
import type { TextReader } from './text.js';

/** Group label and index → name of the part; null when they point nowhere. */
export type ComponentNames = (group: string | null, index: number | null) => string | null;

/** The parts that are read anyway, by their group. */
export type NamedParts = Readonly<
  Record<'supplies' | 'trays' | 'outputs' | 'covers', readonly { readonly index: number; readonly name: string }[]>
>;

type Names = ReadonlyMap<number, string>;

function namesOf(parts: readonly { readonly index: number; readonly name: string }[]): Names {
  return new Map(parts.map((part) => [part.index, part.name]));
}

function rowNames(rows: readonly IndexedRow[], nameOf: (row: IndexedRow) => string): Names {
  return new Map(rows.map((row) => [row.index, nameOf(row)]));
}

function snmpNames(tables: SnmpTables, device: number, text: TextReader): readonly (readonly [string, Names])[] {
  const described = (table: string, column: string, word: string): Names =>
    rowNames(deviceRows(tables, table, device), ({ index, row }) => text(row.get(column)) ?? `${word} ${index}`);
  const channels = rowNames(
    deviceRows(tables, 'prtChannelTable', device),
    ({ index, row }) => label(row, 'prtChannelType', ENUMS.PrtChannelTypeTC) ?? `Channel ${index}`,
  );
  const plain = (table: string, column: string, word: string): Names =>
    rowNames(plainRows(tables, table), ({ index, row }) => text(row.get(column)) ?? `${word} ${index}`);
  return [
    ['marker', rowNames(deviceRows(tables, 'prtMarkerTable', device), ({ index }) => `Marker ${index}`)],
    ['markerColorant', described('prtMarkerColorantTable', 'prtMarkerColorantValue', 'Colorant')],
    ['mediaPath', described('prtMediaPathTable', 'prtMediaPathDescription', 'Media path')],
    ['interpreter', described('prtInterpreterTable', 'prtInterpreterDescription', 'Interpreter')],
    ['channel', channels],
    ['finDevice', described('finDeviceTable', 'finDeviceDescription', 'Finisher')],
    ['finSupply', described('finSupplyTable', 'finSupplyDescription', 'Finisher supply')],
    ['hostResourcesMIBStorageTable', plain('hrStorageTable', 'hrStorageDescr', 'Storage')],
    ['hostResourcesMIBDeviceTable', plain('hrDeviceTable', 'hrDeviceDescr', 'Device')],
  ];
}

/** Makes the lookup for one device. `tables` is absent where only IPP answered. */
export function componentNames(
  parts: NamedParts,
  tables: SnmpTables | undefined,
  device: number | null,
  text: TextReader,
): ComponentNames {
  const groups = new Map<string, Names>([
    ['input', namesOf(parts.trays)],
    ['output', namesOf(parts.outputs)],
    ['markerSupplies', namesOf(parts.supplies)],
    ['cover', namesOf(parts.covers)],
    ...(tables === undefined || device === null ? [] : snmpNames(tables, device, text)),
  ]);
  return (group, index) => (group === null || index === null ? null : (groups.get(group)?.get(index) ?? null));
}
