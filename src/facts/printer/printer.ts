/**
 * Joins everything that one printer said, over SNMP, IPP and DNS-SD, into one document (contract of `outfeed.printer/1`).
 * Precedence: lists (supplies, trays, outputs, alerts) from SNMP where it has rows, else IPP; identity field by field
 * (identity.ts); hrDeviceStatus and its fellows only from SNMP, printer-state and its fellows only from IPP.
 */
import type { Evidence, SnmpEvidence } from '../../model/evidence.js';
import { PRINTER_SCHEMA, type PrinterDocument } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import type { PrinterFact } from '../fact.js';
import { ippOfDevice } from './belongs.js';
import { cleanText } from './clean-text.js';
import { readSnmpCounters } from './counters.js';
import { type Devices, readDevices } from './devices.js';
import { type DnsSdReading, readDnsSd } from './dns-sd.js';
import { readFinishers } from './finishers.js';
import { generalRow, hrDeviceRow, readIdentity } from './identity.js';
import { firstNumber, type IppReading, readIppAnswer, texts } from './ipp-values.js';
import { readKind } from './kind.js';
import type { Note } from './levels.js';
import { readMemory } from './memory.js';
import { readInterfaces, readPorts } from './network.js';
import { type Parts, readParts, type SnmpDevice } from './parts.js';
import { choose, type From } from './precedence.js';
import { asInteger, deviceRows, integer, label, readSnmpTables, type SnmpTables, scalar } from './snmp-tables.js';
import { readState } from './state.js';
import { characterSetName, type TextReader, textReader } from './text.js';
import { topicEvidence } from './topics.js';

export interface ReadOptions {
  /** Address of the target, as it goes into the document. */
  readonly address: string;
  /** ISO 8601, UTC. */
  readonly readAt: string;
  /** hrDeviceIndex that the target names; the first printer otherwise. */
  readonly deviceIndex?: number;
}

/** Reader for the strings of one device; `which` names the column that points to the localization row. */
function readerOf(
  tables: SnmpTables,
  device: number | null,
  which: 'prtGeneralCurrentLocalization' | 'prtConsoleLocalization',
): TextReader {
  if (device === null) return textReader(null);
  const rows = deviceRows(tables, 'prtLocalizationTable', device);
  const wanted = integer(generalRow(tables, device), which);
  const found = rows.find(({ index }) => index === wanted) ?? (rows.length === 1 ? rows[0] : undefined);
  return textReader(characterSetName(integer(found?.row, 'prtLocalizationCharacterSet')));
}

function readConsole(snmp: SnmpDevice): readonly string[] {
  const text = readerOf(snmp.tables, snmp.device, 'prtConsoleLocalization');
  return deviceRows(snmp.tables, 'prtConsoleDisplayBufferTable', snmp.device).flatMap(({ row }) => {
    const line = text(row.get('prtConsoleDisplayBufferText'));
    return line === null ? [] : [line];
  });
}

function readLanguages(snmp: SnmpDevice): readonly string[] {
  const names = deviceRows(snmp.tables, 'prtInterpreterTable', snmp.device).flatMap(({ row }) => {
    const name = label(row, 'prtInterpreterLangFamily', ENUMS.PrtInterpreterLangFamilyTC);
    return name === null ? [] : [name];
  });
  return [...new Set(names)];
}

function readFormats(ipp: IppReading | undefined, dnsSd: DnsSdReading | undefined, from: From): readonly string[] {
  const list = (words: readonly string[]): readonly string[] => [...new Set(words.filter((word) => word !== ''))];
  const pdl = dnsSd?.txt('pdl')?.split(',') ?? [];
  return choose(
    from,
    'formats',
    [
      ['ipp', ipp === undefined ? [] : list(texts(ipp.attributes, 'document-format-supported'))],
      ['dns-sd', list(pdl.map((word) => word.trim()))],
    ],
    [],
  );
}

/** printer-up-time is seconds since start; some devices give the date in seconds since 1970 instead. */
function ippUpTime(ipp: IppReading | undefined, note: Note): number | null {
  const seconds = ipp === undefined ? null : firstNumber(ipp.attributes, 'printer-up-time');
  if (seconds === null || seconds < 0) return null;
  if (seconds < 1_000_000_000) return seconds * 100;
  note(`printer-up-time ${seconds} is a date in seconds since 1970, no up-time; left out.`);
  return null;
}

function readUpTime(tables: SnmpTables | undefined, ipp: IppReading | undefined, from: From, note: Note) {
  const ticks = (name: string): number | null => (tables === undefined ? null : asInteger(scalar(tables, name)));
  return choose(
    from,
    'upTimeTicks',
    [
      ['snmp', ticks('hrSystemUptime') ?? ticks('sysUpTime')],
      ['ipp', ippUpTime(ipp, note)],
    ],
    null,
  );
}

function readCounters(snmp: SnmpDevice | undefined, ipp: IppReading | undefined, from: From, note: Note) {
  const bySnmp = snmp === undefined ? null : readSnmpCounters(snmp.tables, snmp.device, note);
  const byIpp = (name: string): number | null => (ipp === undefined ? null : firstNumber(ipp.attributes, name));
  return {
    lifePages: choose(
      from,
      'lifePages',
      [
        ['snmp', bySnmp?.lifePages],
        ['ipp', byIpp('printer-impressions-completed')],
        ['ipp', byIpp('printer-pages-completed')],
        ['ipp', byIpp('printer-media-sheets-completed')],
      ],
      null,
    ),
    powerOnPages: choose(from, 'powerOnPages', [['snmp', bySnmp?.powerOnPages]], null),
  };
}

/** Deviations that the codecs met on the way belong to the reading too. */
function noteRecords(evidence: readonly Evidence[], note: Note): void {
  for (const record of evidence) {
    if (record.about !== 'target' || record.value === null) continue;
    if (record.source === 'ipp' && record.what === 'Get-Printer-Attributes') record.value.problems?.forEach(note);
    if (record.source === 'snmp') noteSnmpRecord(record, note);
  }
}

function noteSnmpRecord({ what, value }: SnmpEvidence, note: Note): void {
  value?.problems?.forEach(note);
  if (value?.kind === 'table' && value.cut === true) note(`${what} was not read to its end; what came is used.`);
}

function alsoHere(tables: SnmpTables | undefined, devices: Devices | undefined): PrinterDocument['alsoHere'] {
  if (tables === undefined || devices === undefined) return [];
  const text = textReader(null);
  return devices.withPrinterMib
    .filter((device) => device !== devices.chosen)
    .map((deviceIndex) => ({ deviceIndex, model: text(hrDeviceRow(tables, deviceIndex)?.get('hrDeviceDescr')) }));
}

function missingDevice(devices: Devices | undefined, wanted: number | undefined): string | undefined {
  if (devices === undefined || wanted === undefined || devices.withPrinterMib.includes(wanted)) return undefined;
  const known = devices.withPrinterMib.length === 0 ? 'none' : devices.withPrinterMib.join(', ');
  return `Device ${wanted} was asked for, but has no Printer-MIB rows; devices that have: ${known}.`;
}

function snmpDevice(tables: SnmpTables | undefined, devices: Devices | undefined): SnmpDevice | undefined {
  const device = devices?.chosen ?? null;
  if (tables === undefined || device === null) return undefined;
  return {
    tables,
    device,
    host: devices?.host ?? device,
    text: readerOf(tables, device, 'prtGeneralCurrentLocalization'),
  };
}

interface Sources {
  readonly tables: SnmpTables | undefined;
  readonly devices: Devices | undefined;
  readonly snmp: SnmpDevice | undefined;
  readonly ipp: IppReading | undefined;
  readonly dnsSd: DnsSdReading | undefined;
  /** That the device that was asked for is not there. */
  readonly missing: string | undefined;
}

function readSources(evidence: readonly Evidence[], options: ReadOptions, note: Note): Sources | undefined {
  const tables = readSnmpTables(evidence);
  const answer = readIppAnswer(evidence);
  if (tables === undefined && answer === undefined) return undefined;
  const devices = tables === undefined ? undefined : readDevices(tables, options.deviceIndex, note);
  const snmp = snmpDevice(tables, devices);
  const missing = missingDevice(devices, options.deviceIndex);
  if (missing !== undefined) note(missing);
  const ipp = ippOfDevice(devices, snmp, answer, note);
  return { tables, devices, snmp, ipp, dnsSd: readDnsSd(evidence), missing };
}

function readDocument(sources: Sources, parts: Parts, options: ReadOptions, from: From, note: Note) {
  const { tables, devices, snmp, ipp, dnsSd } = sources;
  const device = devices?.chosen ?? null;
  const text = snmp?.text ?? textReader(null);
  const finishers = readFinishers(snmp, ipp, from, note);
  const ports = snmp === undefined ? [] : readPorts(snmp);
  const interfaces = tables === undefined ? [] : readInterfaces(tables, text);
  return {
    schema: PRINTER_SCHEMA,
    address: options.address,
    readAt: options.readAt,
    ...readKind(devices, ipp !== undefined),
    deviceIndex: device,
    alsoHere: alsoHere(tables, devices),
    identity: readIdentity({ tables, device, host: devices?.host ?? null, text, ipp, dnsSd }, from, note),
    state: readState(snmp, ipp, parts, from, note),
    ...parts,
    ...(finishers.length === 0 ? {} : { finishers }),
    ...(ports.length === 0 ? {} : { ports }),
    ...(interfaces.length === 0 ? {} : { interfaces }),
    counters: readCounters(snmp, ipp, from, note),
    console: choose(
      from,
      'console',
      [
        ['snmp', snmp && readConsole(snmp)],
        ['ipp', ipp && texts(ipp.attributes, 'printer-console-display').filter((line) => line !== '')],
      ],
      [],
    ),
    languages: choose(from, 'languages', [['snmp', snmp && readLanguages(snmp)]], []),
    formats: readFormats(ipp, dnsSd, from),
    memoryBytes: choose(from, 'memoryBytes', [['snmp', snmp && readMemory(snmp.tables, snmp.device)]], null),
    upTimeTicks: readUpTime(tables, ipp, from, note),
  } as const;
}

/**
 * Reads one printer out of evidence. Undefined when neither an SNMP table nor an IPP Get-Printer-Attributes answer is
 * among it. Never throws; what broke its standard is a sentence in `problems`.
 */
export function readPrinter(evidence: readonly Evidence[], options: ReadOptions): PrinterFact | undefined {
  const problems = new Set<string>();
  const note: Note = (sentence) => void problems.add(cleanText(sentence));
  const sources = readSources(evidence, options, note);
  if (sources === undefined) return undefined;
  noteRecords(evidence, note);
  const from: From = new Map();
  const parts = readParts(sources.snmp, sources.ipp, from, note);
  const read = readDocument(sources, parts, options, from, note);
  const document: PrinterDocument = { ...read, from: Object.fromEntries(from), problems: [...problems] };
  const topics = topicEvidence(from, sources.tables, sources.ipp, sources.dnsSd);
  return { document, evidence: topics, ...(sources.missing === undefined ? {} : { missing: sources.missing }) };
}
