/** Main memory of a printer in octets. */
import type { SnmpValue } from '../../model/evidence.js';
import { HOST_RESOURCE_OIDS } from '../../registry/enums.generated.js';
import { asInteger, type IndexedRow, integer, plainRows, type SnmpTables, scalar } from './snmp-tables.js';

function isRam(value: SnmpValue | undefined): boolean {
  if (typeof value !== 'object' || !('oid' in value)) return false;
  return HOST_RESOURCE_OIDS[value.oid.replace(/^\./, '')] === 'hrStorageRam';
}

/** hrStorageIndex of every storage that prtStorageRefTable gives to this device. */
function storagesOf(tables: SnmpTables, device: number): ReadonlySet<number> {
  const found = new Set<number>();
  for (const [instance, row] of tables.rows.get('prtStorageRefTable') ?? []) {
    const storage = /^(\d+)\./.exec(instance)?.[1];
    if (storage !== undefined && integer(row, 'prtStorageRefIndex') === device) found.add(Number(storage));
  }
  return found;
}

function octetsOfRows(rows: readonly IndexedRow[]): number | null {
  let total = 0;
  for (const { row } of rows) {
    const size = integer(row, 'hrStorageSize') ?? 0;
    const unit = integer(row, 'hrStorageAllocationUnits') ?? 0;
    if (size > 0 && unit > 0) total += size * unit;
  }
  return total > 0 ? total : null;
}

/**
 * Memory by hrStorageTable rows of type hrStorageRam that belong to the printer (prtStorageRefTable), else
 * hrMemorySize (KBytes of 1024 octets), else all hrStorageRam rows; null when nothing says.
 */
export function readMemory(tables: SnmpTables, device: number): number | null {
  const ram = plainRows(tables, 'hrStorageTable').filter(({ row }) => isRam(row.get('hrStorageType')));
  const own = storagesOf(tables, device);
  const referred = octetsOfRows(ram.filter(({ index }) => own.has(index)));
  if (referred !== null) return referred;
  const kilobytes = asInteger(scalar(tables, 'hrMemorySize'));
  if (kilobytes !== null && kilobytes > 0) return kilobytes * 1024;
  return octetsOfRows(ram);
}
