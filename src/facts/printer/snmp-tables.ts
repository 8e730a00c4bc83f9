/** SNMP evidence as tables: all records about the target joined by the table that each object belongs to. */
import type { Evidence, SnmpRows, SnmpValue } from '../../model/evidence.js';
import { OBJECTS } from '../../registry/objects.generated.js';

/** Object name → value, of one row. A map, so that a hostile name is only a name. */
export type Row = ReadonlyMap<string, SnmpValue>;

export interface SnmpTables {
  /** Table (or `scalars`) → instance → row. */
  readonly rows: ReadonlyMap<string, ReadonlyMap<string, Row>>;
  /** Table (or `scalars`) → ids of the records that gave it. */
  readonly ids: ReadonlyMap<string, readonly string[]>;
  /** Tables that were answered, rows or not. */
  readonly read: ReadonlySet<string>;
}

export interface IndexedRow {
  /** Last component of the instance: prtInputIndex and its fellows. */
  readonly index: number;
  readonly row: Row;
}

/** Name under which scalars are kept. */
export const SCALARS = 'scalars';

interface Building {
  readonly rows: Map<string, Map<string, Map<string, SnmpValue>>>;
  readonly ids: Map<string, string[]>;
  readonly read: Set<string>;
}

function addId(building: Building, table: string, id: string): void {
  const ids = building.ids.get(table) ?? [];
  if (!ids.includes(id)) ids.push(id);
  building.ids.set(table, ids);
}

/** Table of an object by the registry; objects that it doesn't hold stay in the record they came in. */
function tableOf(name: string, what: string): string {
  const object = Object.hasOwn(OBJECTS, name) ? OBJECTS[name] : undefined;
  return object === undefined ? what : (object.table ?? SCALARS);
}

function addRow(building: Building, { id, what }: Evidence, instance: string, row: SnmpRows[string]): void {
  for (const [name, value] of Object.entries(row)) {
    const table = tableOf(name, what);
    const rows = building.rows.get(table) ?? new Map<string, Map<string, SnmpValue>>();
    const cells = rows.get(instance) ?? new Map<string, SnmpValue>();
    cells.set(name, value);
    rows.set(instance, cells);
    building.rows.set(table, rows);
    addId(building, table, id);
  }
}

/** Joins the SNMP records about the target; undefined when no table was answered. */
export function readSnmpTables(evidence: readonly Evidence[]): SnmpTables | undefined {
  const building: Building = { rows: new Map(), ids: new Map(), read: new Set() };
  for (const record of evidence) {
    if (record.source !== 'snmp' || record.about !== 'target' || record.value?.kind !== 'table') continue;
    if (record.outcome !== 'answered' && record.outcome !== 'garbled') continue;
    building.read.add(record.what);
    addId(building, record.what, record.id);
    for (const [instance, row] of Object.entries(record.value.rows ?? {})) addRow(building, record, instance, row);
  }
  return building.read.size === 0 ? undefined : building;
}

/** Rows of a table that has one index, in ascending order. */
export function plainRows(tables: SnmpTables, table: string): readonly IndexedRow[] {
  const found: IndexedRow[] = [];
  for (const [instance, row] of tables.rows.get(table) ?? []) {
    if (/^\d+$/.test(instance)) found.push({ index: Number(instance), row });
  }
  return found.sort((a, b) => a.index - b.index);
}

/** Rows of a table whose first index is hrDeviceIndex and whose last is the row's own, in ascending order. */
export function deviceRows(tables: SnmpTables, table: string, device: number): readonly IndexedRow[] {
  const found: IndexedRow[] = [];
  for (const [instance, row] of tables.rows.get(table) ?? []) {
    const parts = /^(\d+)\.(?:\d+\.)*(\d+)$/.exec(instance);
    if (parts !== null && Number(parts[1]) === device) found.push({ index: Number(parts[2]), row });
  }
  return found.sort((a, b) => a.index - b.index);
}

/** A scalar's value (`.0`). */
export function scalar(tables: SnmpTables, name: string): SnmpValue | undefined {
  return tables.rows.get(SCALARS)?.get('0')?.get(name);
}

/** An integer cell; null when absent or of another kind. */
export function integer(row: Row | undefined, name: string): number | null {
  return asInteger(row?.get(name));
}

/** A value as an integer; null when it is none. */
export function asInteger(value: SnmpValue | undefined): number | null {
  if (typeof value === 'number' && Number.isSafeInteger(value)) return value;
  return null;
}

/** Label of an enumerated cell; null when absent, the number as text when nobody registered it. */
export function label(row: Row | undefined, name: string, labels: Readonly<Record<number, string>> | undefined) {
  const number = integer(row, name);
  return number === null ? null : (labels?.[number] ?? String(number));
}
