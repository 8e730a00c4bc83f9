import { styleText } from 'node:util';
import type { CompareDocument } from '../model/compare.js';
import { type ChangeRow, changeHeadline, changeSections } from './compare-words.js';
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
  const sections = changeSections(document);
  const lines = [
    ...wrap(shown(changeHeadline(document)), { columns, first: '', rest: '' }).map(paint),
    ...sections.flatMap(({ title, rows }) => ['', paint(capitals(title)), ...rowLines(rows, columns)]),
    ...(sections.length === 0 ? ['', 'Nothing differs, and nothing is wrong.'] : []),
  ];
  return `${lines.join('\n')}\n`;
}

/** The part before a colon in capitals: "CAN NOT BE TOLD: the new snapshot does not show it". */
function capitals(title: string): string {
  const [first = '', ...rest] = title.split(':');
  return [first.toUpperCase(), ...rest].join(':');
}

function rowLines(rows: readonly ChangeRow[], columns: number): readonly string[] {
  const lines = rows.slice(0, MOST_ROWS).flatMap((row) => wrap(rowText(row), { columns, first: '  ', rest: '      ' }));
  return rows.length > MOST_ROWS ? [...lines, `  and ${rows.length - MOST_ROWS} more, see --json`] : lines;
}

function rowText({ printer, says, where }: ChangeRow): string {
  const about = says === '' ? '' : `: ${shown(says)}`;
  return `${shown(printer)}${about}${where === undefined ? '' : ` [${shown(where)}]`}`;
}

function shown(text: string): string {
  return forTerminal(text, 300);
}
