import type { Asked } from '../facts/fact.js';
import { leastBytes } from '../facts/page-need.js';
import { collections, firstText, readIppAnswer } from '../facts/printer/ipp-values.js';
import { readPrinter } from '../facts/printer/printer.js';
import { deviceRows, label, readSnmpTables } from '../facts/printer/snmp-tables.js';
import type { PrinterDocument } from '../model/printer.js';
import { ENUMS } from '../registry/enums.generated.js';
import type { Technology } from '../registry/trade.js';

/** What is read of a printer for its bad pages. */
export interface DeviceReading {
  readonly printer: PrinterDocument;
  readonly technology: Technology | undefined;
  /** Media types that trays are set to: prtInputMediaType (RFC 3805), media-type (PWG 5100.7). */
  readonly trayTypes: readonly { readonly tray: string; readonly type: string }[];
  /** Room of one page as dots, at the printer's own paper and resolution: octets. */
  readonly pageBytes: number | undefined;
}

/** Reads evidence of a printer; undefined when it told nothing of itself. */
export function readDevice(asked: Asked): DeviceReading | undefined {
  const printer = readPrinter(asked.evidence, {
    address: asked.address ?? asked.target,
    readAt: asked.askedAt,
    ...(asked.deviceIndex === undefined ? {} : { deviceIndex: asked.deviceIndex }),
  })?.document;
  if (printer === undefined) return undefined;
  const ipp = readIppAnswer(asked.evidence);
  return {
    printer,
    technology: technologyOf(asked, printer),
    trayTypes: trayTypesOf(asked, printer),
    pageBytes: ipp && leastBytes(ipp.attributes, undefined),
  };
}

/** PrtMarkerMarkTechTC labels by their beginning. */
const TECHNIQUES: readonly (readonly [RegExp, Technology])[] = [
  [/^electrophotographic/, 'laser'],
  [/^inkjet/, 'inkjet'],
  [/^thermal/, 'thermal'],
  [/^impact/, 'impact'],
];

/** Types of supplies that only one technology uses. */
const BY_SUPPLY: readonly (readonly [RegExp, Technology])[] = [
  [/^(toner|tonerCartridge|wasteToner|opc|fuser|matteToner)$/, 'laser'],
  [/^(ink|inkCartridge|wasteInk|matteInk)$/, 'inkjet'],
];

function technologyOf({ evidence }: Asked, printer: PrinterDocument): Technology | undefined {
  const tables = readSnmpTables(evidence);
  const rows = tables === undefined ? [] : deviceRows(tables, 'prtMarkerTable', printer.deviceIndex ?? 1);
  const said = rows.map(({ row }) => label(row, 'prtMarkerMarkTech', ENUMS.PrtMarkerMarkTechTC) ?? '');
  const byMark = said.flatMap((name) => TECHNIQUES.find(([words]) => words.test(name))?.[1] ?? []);
  const bySupply = printer.supplies.flatMap(({ type }) => BY_SUPPLY.find(([words]) => words.test(type))?.[1] ?? []);
  return byMark[0] ?? bySupply[0];
}

function trayTypesOf({ evidence }: Asked, printer: PrinterDocument): DeviceReading['trayTypes'] {
  const tables = readSnmpTables(evidence);
  const rows = tables === undefined ? [] : deviceRows(tables, 'prtInputTable', printer.deviceIndex ?? 1);
  const bySnmp = rows.flatMap(({ index, row }) => {
    const type = row.get('prtInputMediaType');
    const tray = printer.trays.find((known) => known.index === index)?.name ?? `Tray ${index}`;
    return typeof type === 'string' && type.trim() !== '' ? [{ tray, type: type.trim() }] : [];
  });
  if (bySnmp.length > 0) return bySnmp;
  const ipp = readIppAnswer(evidence);
  return collections(ipp?.attributes ?? {}, 'media-col-ready').flatMap((members) => {
    const type = firstText(members, 'media-type');
    return type === null ? [] : [{ tray: firstText(members, 'media-source') ?? 'a tray', type }];
  });
}
