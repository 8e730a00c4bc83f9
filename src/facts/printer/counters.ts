/** Page counters of prtMarkerTable (RFC 3805 section 6). */
import type { Counters } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { generalRow } from './identity.js';
import type { Note } from './levels.js';
import { deviceRows, type IndexedRow, integer, label, type Row, type SnmpTables } from './snmp-tables.js';

/** PrtMarkerCounterUnitTC labels that count pages as they come. */
const PAGES: ReadonlySet<string> = new Set(['impressions', 'sheets']);

/** The marker whose counter stands for the printer: prtMarkerDefaultIndex if there is such a row, else the first. */
function defaultMarker(tables: SnmpTables, device: number): IndexedRow | undefined {
  const markers = deviceRows(tables, 'prtMarkerTable', device);
  const wanted = integer(generalRow(tables, device), 'prtMarkerDefaultIndex');
  return markers.find(({ index }) => index === wanted) ?? markers[0];
}

function pages(row: Row, column: string, unit: string | null, note: Note): number | null {
  const count = integer(row, column);
  if (count === null) return null;
  if (count < 0) {
    note(`${column} is ${count}; a counter can't be negative, left out.`);
    return null;
  }
  if (unit !== null && !PAGES.has(unit)) {
    note(`${column} counts ${unit}, not pages, and can't be turned into pages; left out.`);
    return null;
  }
  return count;
}

/**
 * Life and power-on counters of the default marker, in impressions or sheets. With several markers the others are not
 * added: one sheet may pass more than one of them.
 */
export function readSnmpCounters(tables: SnmpTables, device: number, note: Note): Counters {
  const marker = defaultMarker(tables, device);
  if (marker === undefined) return { lifePages: null, powerOnPages: null };
  const unit = label(marker.row, 'prtMarkerCounterUnit', ENUMS.PrtMarkerCounterUnitTC);
  return {
    lifePages: pages(marker.row, 'prtMarkerLifeCount', unit, note),
    powerOnPages: pages(marker.row, 'prtMarkerPowerOnCount', unit, note),
  };
}
