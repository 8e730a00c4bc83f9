/** Which printer behind an SNMP agent is meant: hrDeviceIndex is the first index of every Printer-MIB table. */
import { HOST_RESOURCE_OIDS } from '../../registry/enums.generated.js';
import type { Note } from './levels.js';
import { plainRows, type SnmpTables } from './snmp-tables.js';

export interface Devices {
  /** hrDeviceIndex of every device with Printer-MIB rows, ascending. */
  readonly withPrinterMib: readonly number[];
  /** hrDeviceIndex of every row that calls itself hrDevicePrinter or has an hrPrinterTable row. */
  readonly listed: readonly number[];
  /** The device to read; null when the agent lists no printer at all. */
  readonly chosen: number | null;
  /** Index of the same device in HOST-RESOURCES-MIB: another one where an agent numbers the two MIBs apart. */
  readonly host: number | null;
}

/** Tables whose rows prove a printer device; the rest of the Printer-MIB does not stand without them. */
const PROVING = ['prtGeneralTable', 'prtInputTable', 'prtOutputTable', 'prtMarkerTable', 'prtMarkerSuppliesTable'];
const ALSO = ['prtAlertTable', 'prtCoverTable', 'prtConsoleDisplayBufferTable', 'prtInterpreterTable'];

function firstIndexes(tables: SnmpTables, names: readonly string[]): Set<number> {
  const found = new Set<number>();
  for (const name of names) {
    for (const instance of tables.rows.get(name)?.keys() ?? []) {
      const first = /^(\d+)(?:\.|$)/.exec(instance)?.[1];
      if (first !== undefined) found.add(Number(first));
    }
  }
  return found;
}

function listedPrinters(tables: SnmpTables): readonly number[] {
  const found = new Set<number>(plainRows(tables, 'hrPrinterTable').map(({ index }) => index));
  for (const { index, row } of plainRows(tables, 'hrDeviceTable')) {
    const type = row.get('hrDeviceType');
    if (
      typeof type === 'object' &&
      'oid' in type &&
      HOST_RESOURCE_OIDS[type.oid.replace(/^\./, '')] === 'hrDevicePrinter'
    )
      found.add(index);
  }
  return [...found].sort((a, b) => a - b);
}

/** The only listed printer stands for the only device with Printer-MIB rows, even under another index. */
function hostIndex(chosen: number | null, withPrinterMib: readonly number[], listed: readonly number[], note: Note) {
  const [only] = listed;
  if (chosen === null || listed.length !== 1 || only === undefined || only === chosen) return chosen;
  if (withPrinterMib.length !== 1 || withPrinterMib[0] !== chosen) return chosen;
  note(`HOST-RESOURCES-MIB has the printer as device ${only}, Printer-MIB as device ${chosen}; read as one printer.`);
  return only;
}

/** Finds the printers behind the agent. `wanted` is the device that the target names (`TARGET#2`). */
export function readDevices(tables: SnmpTables, wanted: number | undefined, note: Note): Devices {
  const proved = firstIndexes(tables, PROVING);
  const withPrinterMib = [...(proved.size > 0 ? proved : firstIndexes(tables, ALSO))].sort((a, b) => a - b);
  const listed = listedPrinters(tables);
  const chosen = wanted ?? withPrinterMib[0] ?? listed[0] ?? null;
  return { withPrinterMib, listed, chosen, host: hostIndex(chosen, withPrinterMib, listed, note) };
}
