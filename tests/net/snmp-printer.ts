import { Buffer } from 'node:buffer';
import { OBJECTS } from '../../src/registry/objects.generated.js';
import { integer, octets, oid } from './ber.js';

/** Encoded values of a made-up colour printer, about 700 objects, by OID. */

const TYPES: readonly (readonly [RegExp, (n: number) => Buffer])[] = [
  [/^Counter32/, (n) => integer(n * 100, 0x41)],
  [/^Gauge32/, (n) => integer(n, 0x42)],
  [/^(TimeTicks|TimeStamp)/, (n) => integer(n * 1000, 0x43)],
  [/^(OBJECT IDENTIFIER|AutonomousType|ProductID)/, () => oid('1.3.6.1.2.1.25.3.1.5')],
  [/^(PhysAddress)/, (n) => octets(Buffer.from([2, 0, 0, 0, 0, n]))],
  [/^DateAndTime/, () => octets(Buffer.from('07ea0b18152302052b0000', 'hex'))],
  [/(DisplayString|OCTET STRING|StringTC|SnmpAdminString)/, (n) => octets(`Value ${n}`)],
];

function valueFor(syntax: string, n: number): Buffer {
  return (TYPES.find(([pattern]) => pattern.test(syntax))?.[1] ?? integer)(n);
}

/** Rows of each table beside hrDevice 1. */
const ROWS: Readonly<Record<string, number>> = {
  prtCoverTable: 4,
  prtLocalizationTable: 8,
  prtInputTable: 5,
  prtOutputTable: 4,
  prtMarkerTable: 1,
  prtMarkerSuppliesTable: 7,
  prtMarkerColorantTable: 4,
  prtMediaPathTable: 4,
  prtChannelTable: 8,
  prtInterpreterTable: 8,
  prtConsoleDisplayBufferTable: 4,
  prtConsoleLightTable: 4,
  prtAlertTable: 4,
};
/** Rows of tables that have one index of their own. */
const PLAIN: Readonly<Record<string, number>> = {
  prtGeneralTable: 1,
  hrPrinterTable: 1,
  hrDeviceTable: 1,
  hrStorageTable: 4,
  ifTable: 2,
};

/** Columns that are part of the index, which agents do not show (`prtAlertIndex` is shown). */
const HIDDEN = /^prt(?!Alert).*Index$/;
const SHOWN_INDEX = /(ColorantIndex|MarkerIndex|IfIndex|LangIndex|DefaultIndex|GroupIndex|NextIndex)$/;

function isShown(name: string): boolean {
  return !HIDDEN.test(name) || (SHOWN_INDEX.test(name) && !/^prtMarker(Colorant)?Index$/.test(name));
}

/** OID → encoded value. */
export function printerObjects(): Record<string, Buffer> {
  const out: Record<string, Buffer> = {};
  for (const [name, object] of Object.entries(OBJECTS)) {
    if (object.role === 'scalar' && /^(sys|hr)/.test(name)) out[`${object.oid}.0`] = valueFor(object.syntax, 7);
    if (object.role !== 'column' || !isShown(name)) continue;
    const table = object.table ?? '';
    for (let row = 1; row <= (PLAIN[table] ?? 0); row++) out[`${object.oid}.${row}`] = valueFor(object.syntax, row);
    for (let row = 1; row <= (ROWS[table] ?? 0); row++) out[`${object.oid}.1.${row}`] = valueFor(object.syntax, row);
  }
  return out;
}
