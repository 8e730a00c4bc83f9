import type { Evidence } from '../model/evidence.js';
import { ENUMS } from '../registry/enums.generated.js';
import { integer, label, readSnmpTables } from './printer/snmp-tables.js';
import { readSubUnitStatus } from './printer/sub-unit-status.js';

/** The raw print connection in the printer's own channel table (RFC 3805 prtChannelTable). */
export interface RawChannelFact {
  /** prtChannelState. */
  readonly takesData: boolean | null;
  /** prtChannelStatus says that somebody is sending (available and active, or available and busy). */
  readonly inUse: boolean;
  /** The whole printer prints just now (hrPrinterStatus). */
  readonly printing: boolean;
  readonly evidence: readonly string[];
}

/** PrtChannelTypeTC (IANA-PRINTER-MIB) of a plain TCP connection. */
const RAW_TYPES: ReadonlySet<string> = new Set(['chPort9100', 'chAppSocket', 'chPortTCP', 'chBidirPortTCP']);
const IN_USE: ReadonlySet<string> = new Set(['availableAndActive', 'availableAndBusy']);
/** hrPrinterStatus (RFC 2790). */
const PRINTING = 4;

/** What the printer says of its raw channel. Undefined when it lists none. */
export function readRawChannel(evidence: readonly Evidence[]): RawChannelFact | undefined {
  const tables = readSnmpTables(evidence);
  const rows = [...(tables?.rows.get('prtChannelTable')?.values() ?? [])].filter((row) =>
    RAW_TYPES.has(label(row, 'prtChannelType', ENUMS.PrtChannelTypeTC) ?? ''),
  );
  if (tables === undefined || rows.length === 0) return undefined;
  const states = rows.map((row) => label(row, 'prtChannelState', ENUMS.PrtChannelStateTC));
  const takes = states.includes('printDataAccepted') ? true : states.includes('noDataAccepted') ? false : null;
  const printers = [...(tables.rows.get('hrPrinterTable')?.values() ?? [])];
  return {
    takesData: takes,
    inUse: rows.some((row) => IN_USE.has(readSubUnitStatus(integer(row, 'prtChannelStatus'))?.availability ?? '')),
    printing: printers.some((row) => integer(row, 'hrPrinterStatus') === PRINTING),
    evidence: tables.ids.get('prtChannelTable') ?? [],
  };
}
