import { styleText } from 'node:util';
import type { CompareDocument, ComparedFault } from '../model/compare.js';
import { forTerminal } from './escape.js';
import { wrap } from './wrap.js';

export interface CompareTextOptions {
  readonly columns: number;
  readonly color: boolean;
}

const NARROWEST = 40;
const WIDEST = 100;
const MOST_ROWS = 200;

/** What changed between two snapshots, what broke first. Readable without colour. Ends in a line break. */
export function renderComparison(document: CompareDocument, options: CompareTextOptions): string {
  const columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(options.columns) || 80));
  const paint = (text: string): string => (options.color ? styleText('bold', text, { validateStream: false }) : text);
  const sections = sectionsOf(document).filter(({ rows }) => rows.length > 0);
  const lines = [
    ...wrap(headline(document), { columns, first: '', rest: '' }).map(paint),
    ...sections.flatMap(({ title, rows }) => ['', paint(title), ...rowLines(rows, columns)]),
    ...(sections.length === 0 ? ['', 'Nothing differs.'] : []),
  ];
  return `${lines.join('\n')}\n`;
}

interface Section {
  readonly title: string;
  readonly rows: readonly string[];
}

function sectionsOf(document: CompareDocument): readonly Section[] {
  const { fixed, broken, still, unclear, replaced, moved, appeared, gone, pages, days } = document;
  return [
    { title: 'BROKEN SINCE', rows: broken.map(faultRow) },
    { title: 'STILL NOT RIGHT', rows: still.map(faultRow) },
    { title: days >= 1 ? `FIXED, and so ${daysWords(days)} later` : 'FIXED', rows: fixed.map(faultRow) },
    { title: 'CAN NOT BE TOLD: the new snapshot does not show it', rows: unclear.map(faultRow) },
    { title: 'EXCHANGED OR REFILLED', rows: replaced.map(({ printer, what }) => `${shown(printer)}: ${shown(what)}`) },
    {
      title: 'AT ANOTHER ADDRESS',
      rows: moved.map(({ printer, from, to }) => `${shown(printer)}: ${shown(from)} before, ${shown(to)} now`),
    },
    { title: 'NEW HERE', rows: appeared.map(shown) },
    { title: 'NO LONGER HERE', rows: gone.map(shown) },
    {
      title: 'PAGES PRINTED',
      rows: pages.filter(({ printed }) => printed > 0).map(({ printer, printed }) => `${shown(printer)}: ${printed}`),
    },
  ];
}

function headline({ old, new: now, fixed, broken, still }: CompareDocument): string {
  const dates = `${dateOf(old.madeAt)} and ${dateOf(now.madeAt)}`;
  const sites =
    old.site === now.site ? shown(now.site) : `${shown(old.site)} and ${shown(now.site)}, two different sites`;
  return `${sites}, ${dates}: ${fixed.length} fixed, ${broken.length} broken, ${still.length} still not right.`;
}

function dateOf(time: string): string {
  return time.slice(0, 16).replace('T', ' ');
}

function daysWords(days: number): string {
  const whole = Math.floor(days);
  return whole === 1 ? '1 day' : `${whole} days`;
}

function faultRow({ printer, layer, cause, component }: ComparedFault): string {
  return `${shown(printer)}: ${layer}: ${cause}${component === null ? '' : ` (${shown(component)})`}`;
}

function shown(text: string): string {
  return forTerminal(text, 200);
}

function rowLines(rows: readonly string[], columns: number): readonly string[] {
  const lines = rows.slice(0, MOST_ROWS).flatMap((row) => wrap(row, { columns, first: '  ', rest: '      ' }));
  return rows.length > MOST_ROWS ? [...lines, `  and ${rows.length - MOST_ROWS} more, see --json`] : lines;
}
