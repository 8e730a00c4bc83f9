import { styleText } from 'node:util';
import stringWidth from 'string-width';
import type { Alert, PrinterDocument } from '../model/printer.js';
import { forTerminal } from './escape.js';
import {
  alertWords,
  finisherWords,
  identityWords,
  interfaceWords,
  languageWords,
  outputWords,
  portWords,
  stateWords,
  supplyWords,
  trayWords,
} from './show-words.js';
import { pad, wrap } from './wrap.js';

export interface ShowTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
}

type Style = Parameters<typeof styleText>[0];

/** One line of a section: what stands first in it, and the text behind that, which may wrap. */
interface Row {
  readonly lead?: string;
  readonly text: string;
  readonly style?: Style;
}

interface Section {
  readonly title: string;
  readonly rows: readonly Row[];
}

const NARROWEST = 40;
const WIDEST = 100;
const TITLE_CELLS = 9;
const MOST_NAME_CELLS = 24;
const BAR_CELLS = 8;
/** Brackets, gaps and the least room that the words behind a bar need. */
const LEAST_WORDS_CELLS = 13;
/** Lists that some printers fill with dozens of entries are cut here; `--json` has them all. */
const MOST_ROWS = 16;

/**
 * What one printer says of itself, for a terminal: who it is, how it stands, its alerts, then what is in it. Readable in 80 columns and
 * without colour. Ends in a line break.
 */
export function renderShow(document: PrinterDocument, options: ShowTextOptions): string {
  const columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(options.columns) || 80));
  const paint = (text: string, style: Style | undefined): string =>
    style === undefined || !options.color ? text : styleText(style, text, { validateStream: false });
  const sections = sectionsOf(document, columns).filter((section) => section.rows.length > 0);
  const lines = [
    ...headLines(document, columns).map((line) => paint(line, 'bold')),
    ...sections.flatMap((section) => sectionLines(section, columns, paint)),
  ];
  return `${lines.join('\n')}\n`;
}

function headLines({ identity, address, deviceIndex, alsoHere }: PrinterDocument, columns: number): readonly string[] {
  const name = forTerminal(identity.name ?? '', 80);
  const model = forTerminal(identity.model ?? '', 80);
  const device = alsoHere.length > 0 && deviceIndex !== null ? `#${deviceIndex}` : '';
  const parts = [name, model === name ? '' : model, `${forTerminal(address, 80)}${device}`];
  return wrap(parts.filter((part) => part !== '').join(', '), { columns, first: '', rest: '  ' });
}

function sectionsOf(document: PrinterDocument, columns: number): readonly Section[] {
  const plain = (texts: readonly string[]): readonly Row[] => texts.map((text) => ({ text }));
  const { identity, state, counters } = document;
  const levelRow = levelRows(nameCells(document, columns));
  return [
    { title: 'Identity', rows: plain(identityWords(identity, document.upTimeTicks)) },
    ...(document.isPrinter
      ? []
      : [{ title: 'Beware', rows: plain([`not a printer: ${forTerminal(document.isPrinterBecause)}`]) }]),
    { title: 'State', rows: stateRows(stateWords(state), state.ipp === 'stopped' || state.device === 'down') },
    { title: 'Alerts', rows: capped([...document.alerts].sort(criticalFirst).map(alertRow)) },
    {
      title: 'Supplies',
      rows: capped(document.supplies.map((supply) => levelRow(supply, supplyWords(supply), isOut(supply.state)))),
    },
    { title: 'Trays', rows: capped(document.trays.map((tray) => levelRow(tray, trayWords(tray), tray.percent === 0))) },
    {
      title: 'Outputs',
      rows: capped(document.outputs.map((output) => levelRow(output, outputWords(output), output.percent === 0))),
    },
    {
      title: 'Finish',
      rows: capped((document.finishers ?? []).map((finisher) => levelRow(finisher, finisherWords(finisher), false))),
    },
    { title: 'Covers', rows: coverRows(document) },
    { title: 'Counters', rows: plain(counterWords(counters)) },
    {
      title: 'Display',
      rows: plain(document.console.slice(0, MOST_ROWS).map((line) => `"${forTerminal(line, 120)}"`)),
    },
    { title: 'Takes', rows: plain(takesWords(document)) },
    { title: 'Ports', rows: capped(plain((document.ports ?? []).map(portWords))) },
    { title: 'Network', rows: capped(plain((document.interfaces ?? []).map(interfaceWords))) },
    {
      title: 'Beside',
      rows: plain(document.alsoHere.map(({ deviceIndex, model }) => `#${deviceIndex} ${forTerminal(model ?? '', 80)}`)),
    },
    { title: 'Remarks', rows: capped(document.problems.map((problem) => ({ text: forTerminal(problem, 300) }))) },
  ];
}

function stateRows(lines: readonly string[], stopped: boolean): readonly Row[] {
  return lines.map((text, at) => (at === 0 && stopped ? { text, style: ['bold', 'magentaBright'] } : { text }));
}

function criticalFirst(a: Alert, b: Alert): number {
  return Number(isCritical(b)) - Number(isCritical(a));
}

function isCritical(alert: Alert): boolean {
  return alert.severity.startsWith('critical');
}

function alertRow(alert: Alert): Row {
  const critical = isCritical(alert);
  const lead = critical ? 'X ' : alert.severity.startsWith('warning') ? '! ' : '- ';
  return { lead, text: alertWords(alert), style: critical ? ['bold', 'magentaBright'] : 'yellow' };
}

function isOut(state: string): boolean {
  return state === 'empty' || state === 'full';
}

/** One width for the names of everything that has a level, so that the bars stand in one column. */
function nameCells({ supplies, trays, outputs, finishers = [] }: PrinterDocument, columns: number): number {
  const widths = [...supplies, ...trays, ...outputs, ...finishers].map(({ name }) =>
    stringWidth(forTerminal(name, 80)),
  );
  const room = columns - TITLE_CELLS - BAR_CELLS - LEAST_WORDS_CELLS;
  return Math.min(MOST_NAME_CELLS, room, Math.max(6, ...widths));
}

type LevelRow = (place: { readonly name: string; readonly percent: number | null }, words: string, out: boolean) => Row;

function levelRows(cells: number): LevelRow {
  return (place, words, out) => {
    const name = pad(fitted(forTerminal(place.name, 80), cells), cells);
    return { lead: `${name} ${bar(place.percent)} `, text: words, ...(out ? { style: 'bold' as const } : {}) };
  };
}

/** Cut to a number of terminal cells; a wide character takes two. */
function fitted(text: string, cells: number): string {
  if (stringWidth(text) <= cells) return text;
  return `${wrap(text, { columns: cells - 1, first: '', rest: '' })[0] ?? ''}…`;
}

/** `[####......]`; without a measured level only its place. */
function bar(percent: number | null): string {
  if (percent === null) return ' '.repeat(BAR_CELLS + 2);
  const share = Math.min(100, Math.max(0, percent)) / 100;
  const full = percent > 0 ? Math.max(1, Math.round(share * BAR_CELLS)) : 0;
  return `[${'#'.repeat(full)}${'.'.repeat(BAR_CELLS - full)}]`;
}

function coverRows({ covers }: PrinterDocument): readonly Row[] {
  const shut = (state: string): boolean => state === 'coverClosed' || state === 'interlockClosed';
  const open = covers.filter((cover) => !shut(cover.state));
  const rows: Row[] = open.map((cover) => ({
    text: `${forTerminal(cover.name, 60)}: ${forTerminal(cover.state, 40)}`,
    style: 'bold',
  }));
  const closed = covers.length - open.length;
  if (closed === 0) return rows;
  return [...rows, { text: open.length === 0 ? 'closed' : `${closed} closed` }];
}

function counterWords({ lifePages, powerOnPages }: PrinterDocument['counters']): readonly string[] {
  const words = [
    lifePages === null ? '' : `${lifePages} in its life`,
    powerOnPages === null ? '' : `${powerOnPages} since it was switched on`,
  ].filter((part) => part !== '');
  return words.length === 0 ? [] : [words.join(', ')];
}

function takesWords({ languages, formats, memoryBytes }: PrinterDocument): readonly string[] {
  return [
    languageWords(languages),
    formats.map((format) => forTerminal(format, 80)).join(', '),
    memoryBytes === null ? '' : `memory ${Math.round(memoryBytes / 1_048_576)} MiB`,
  ].filter((line) => line !== '');
}

function capped(rows: readonly Row[]): readonly Row[] {
  if (rows.length <= MOST_ROWS) return rows;
  return [...rows.slice(0, MOST_ROWS), { text: `and ${rows.length - MOST_ROWS} more, see --json` }];
}

function sectionLines(
  { title, rows }: Section,
  columns: number,
  paint: (text: string, style: Style | undefined) => string,
): readonly string[] {
  return rows.flatMap(({ lead = '', text, style }, at) => {
    const first = pad(at === 0 ? title : '', TITLE_CELLS);
    const rest = ' '.repeat(TITLE_CELLS + Math.min(stringWidth(lead), 2));
    const [head = '', ...more] = wrap(text, { columns, first: first + lead, rest });
    return [
      `${paint(first, 'dim')}${paint(head.slice(first.length), style)}`,
      ...more.map((line) => paint(line, style)),
    ];
  });
}
