import type { Evidence } from '../model/evidence.js';
import type { PrinterFact } from './fact.js';
import { readCommandSet } from './printer/device-id.js';
import { readDnsSd } from './printer/dns-sd.js';
import { firstText, readIppAnswer } from './printer/ipp-values.js';
import { readSnmpTables } from './printer/snmp-tables.js';

/** What the printer says it can read, each list as its source gives it. An empty list: that source does not say. */
export interface AcceptsFact {
  /** PrtInterpreterLangFamilyTC labels that name a page language (prtInterpreterLangFamily). */
  readonly labels: readonly string[];
  /** The interpreter table also holds rows that name no language: the list of labels is not the whole truth. */
  readonly labelsOpen: boolean;
  /** Media types in lower case, without parameters (document-format-supported, or `pdl` of DNS-SD). */
  readonly formats: readonly string[];
  /** Words of the command set of the IEEE 1284 device ID. */
  readonly commands: readonly string[];
  readonly evidence: readonly string[];
}

/** Labels that name no page language of their own: a job control language, a switch between languages, no word at all. */
const NO_LANGUAGE = /^(other|unknown|\d+|langPJL|langAutomatic|langDiagnostic|langXJCL|langJDF|langJMF)$/;
const OPEN = /^(other|unknown|\d+)$/;
/** Types that say "anything" (RFC 8011 5.1.10): they name no language. */
const ANY_FORMAT = /^(application\/octet-stream|application\/vnd\.cups-raw|\*\/\*|)$/;

/** Languages, formats and command words of the printer. Undefined when it was not read. */
export function readAccepts(evidence: readonly Evidence[], printer: PrinterFact | undefined): AcceptsFact | undefined {
  if (printer === undefined) return undefined;
  const { languages, formats } = printer.document;
  const ipp = readIppAnswer(evidence);
  const dnsSd = readDnsSd(evidence);
  const id = ipp === undefined ? null : firstText(ipp.attributes, 'printer-device-id');
  const commands = readCommandSet(id);
  const named = { labels: languages.filter((label) => !NO_LANGUAGE.test(label)), formats: plainFormats(formats) };
  const byIpp = commands.length > 0 || (named.formats.length > 0 && printer.document.from.formats !== 'dns-sd');
  return {
    ...named,
    labelsOpen: languages.some((label) => OPEN.test(label)),
    commands,
    evidence: [
      ...(named.labels.length === 0 ? [] : (readSnmpTables(evidence)?.ids.get('prtInterpreterTable') ?? [])),
      ...(byIpp && ipp !== undefined ? [ipp.id] : []),
      ...(printer.document.from.formats === 'dns-sd' ? (dnsSd?.ids ?? []) : []),
    ],
  };
}

/** Media types without parameters, in lower case, doubles and "anything" left out. */
export function plainFormats(formats: readonly string[]): readonly string[] {
  const plain = formats.map((format) => (format.split(';')[0] ?? '').trim().toLowerCase());
  return [...new Set(plain)].filter((format) => !ANY_FORMAT.test(format));
}
