/** A past that was kept as CSV: `at,printer,supply,level,capacity,unit,pages`, one reading a line. */
import { colourWord } from '../facts/printer/colours.js';
import { classOfType } from '../facts/printer/snmp-supplies.js';
import type { SupplyHistory, SupplyReading } from '../model/history.js';
import { nearest } from '../model/nearest.js';
import { ENUMS } from '../registry/enums.generated.js';
import { readTime } from './time.js';

export const HISTORY_COLUMNS = ['at', 'printer', 'supply', 'level', 'capacity', 'unit', 'pages'] as const;

const UNITS: readonly string[] = Object.values(ENUMS.PrtMarkerSuppliesSupplyUnitTC ?? {});
const MOST_NAME = 200;

interface Row {
  readonly printer: string;
  readonly supply: string;
  readonly reading: SupplyReading;
}

/** What is wrong with a header; undefined when it is right. */
export function wrongHeader(cells: readonly string[]): string | undefined {
  const given = cells.map((cell) => cell.trim().toLowerCase());
  if (given.length === HISTORY_COLUMNS.length && HISTORY_COLUMNS.every((name, i) => given[i] === name))
    return undefined;
  return `the first line has to be "${HISTORY_COLUMNS.join(',')}"`;
}

/** One line's cells → a reading, or what is wrong with it. */
export function readRow(cells: readonly string[]): Row | { readonly wrong: string } {
  if (cells.length !== HISTORY_COLUMNS.length) {
    return { wrong: `has ${cells.length} cells instead of ${HISTORY_COLUMNS.length}` };
  }
  const [at = '', printer = '', supply = '', level = '', capacity = '', unit = '', pages = ''] = cells.map((cell) =>
    cell.trim(),
  );
  const moment = readTime(at);
  const wrong =
    (moment === undefined
      ? `at takes an ISO 8601 time from 1970 to 2999 such as 2026-01-31T08:00:00Z, not "${at}"`
      : undefined) ??
    wrongName('printer', printer) ??
    wrongName('supply', supply) ??
    wrongNumber('level', level, false, -1e10) ??
    wrongNumber('capacity', capacity, true, -1e10) ??
    wrongUnit(unit) ??
    wrongNumber('pages', pages, true, 0);
  if (wrong !== undefined || moment === undefined) return { wrong: wrong ?? '' };
  const number = (text: string): number | null => (text === '' ? null : Number(text));
  return {
    printer,
    supply,
    reading: {
      at: moment,
      level: Number(level),
      capacity: number(capacity),
      unit: unit === '' ? null : unit,
      pages: number(pages),
    },
  };
}

function wrongName(column: string, text: string): string | undefined {
  if (text === '') return `${column} is empty`;
  return text.length > MOST_NAME ? `${column} is longer than ${MOST_NAME} characters` : undefined;
}

function wrongNumber(column: string, text: string, mayBeEmpty: boolean, least: number): string | undefined {
  if (text === '' && mayBeEmpty) return undefined;
  // As many decimals as a program writes that divides: 100 less a third is 99.66666666666667.
  const value = /^[+-]?\d{1,10}(?:\.\d{1,20})?$/.test(text) ? Number(text) : Number.NaN;
  if (value >= least) return undefined;
  return `${column} takes a number${least === 0 ? ' from 0' : ''}${mayBeEmpty ? ' or nothing' : ''}, not "${text}"`;
}

function wrongUnit(unit: string): string | undefined {
  if (unit === '' || UNITS.includes(unit)) return undefined;
  const close = nearest(unit, UNITS);
  const hint = close === undefined ? `as in RFC 3805: ${UNITS.join(', ')}` : `did you mean "${close}"?`;
  return `unit "${unit}" is none of RFC 3805, ${hint}`;
}

/** Gathers rows into one past for each supply, in the order in which the supplies first appear. */
export class HistoryGatherer {
  readonly #supplies = new Map<string, { readonly history: SupplyHistory; readonly readings: SupplyReading[] }>();
  readonly #counts = new Map<string, number>();

  add({ printer, supply, reading }: Row): void {
    const key = `${printer}\n${supply}`;
    let known = this.#supplies.get(key);
    if (known === undefined) {
      const index = (this.#counts.get(printer) ?? 0) + 1;
      this.#counts.set(printer, index);
      const readings: SupplyReading[] = [];
      known = { history: { printer, model: null, supply: supplyOf(supply, index), readings }, readings };
      this.#supplies.set(key, known);
    }
    known.readings.push(reading);
  }

  /** Readings oldest first; of two at the same moment the later line holds. */
  done(): readonly SupplyHistory[] {
    return [...this.#supplies.values()].map(({ history, readings }) => ({ ...history, readings: inOrder(readings) }));
  }
}

function inOrder(readings: readonly SupplyReading[]): readonly SupplyReading[] {
  const sorted = [...readings].sort((a, b) => a.at - b.at);
  return sorted.filter(({ at }, i) => sorted[i + 1]?.at !== at);
}

/** Types by the words of a name; the first that fits. A name is all that the file has. */
const TYPE_WORDS: readonly (readonly [RegExp, string])[] = [
  [/waste.{0,40}ink|maintenance (box|tank)/i, 'wasteInk'],
  [/waste/i, 'wasteToner'],
  [/drum|photo ?conductor|imaging unit|\bopc\b/i, 'opc'],
  [/transfer|belt/i, 'transferUnit'],
  [/fus(er|ing)/i, 'fuser'],
  [/clean/i, 'cleanerUnit'],
  [/developer/i, 'developer'],
  [/staple/i, 'staples'],
  [/ribbon/i, 'inkRibbon'],
  [/\bink/i, 'ink'],
  [/toner|cartridge/i, 'toner'],
];

/** What a file calls a supply → the supply: the name, and what its words tell. */
function supplyOf(name: string, index: number): SupplyHistory['supply'] {
  const type = TYPE_WORDS.find(([words]) => words.test(name))?.[1] ?? 'unknown';
  return { index, name, type, class: classOfType(type), colour: colourWord(name) };
}
