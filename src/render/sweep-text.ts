import { styleText } from 'node:util';
import type { FoundPrinter, SweepDocument } from '../model/sweep.js';
import { forTerminal } from './escape.js';
import { elide, pad, wrap } from './wrap.js';

export interface SweepTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
}

const NARROWEST = 60;
const WIDEST = 120;
const MOST_OTHERS = 20;
const GAP = 2;

/**
 * The printers found, for a terminal: one line each, then what answered but is none, then what went wrong. Every text that a
 * host supplied is escaped. Ends in a line break.
 */
export function renderSweep(document: SweepDocument, options: SweepTextOptions): string {
  const columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(options.columns) || 80));
  const bold = (text: string): string => (options.color ? styleText('bold', text, { validateStream: false }) : text);
  const lines = [
    ...wrap(headline(document), { columns, first: '', rest: '  ' }).map(bold),
    ...(document.found.length > 0 ? ['', ...table(document.found, columns)] : []),
    ...(document.found.length === 0 && document.others.length === 0 ? [...hint(columns)] : []),
    ...others(document, columns),
    ...(document.problems.length > 0 ? [''] : []),
    ...document.problems.flatMap((problem) => wrap(forTerminal(problem), { columns, first: 'Note: ', rest: '  ' })),
  ];
  return `${lines.join('\n')}\n`;
}

function headline({ found, ranges, addressesTried, tookMs }: SweepDocument): string {
  const count = found.length === 0 ? 'No printer' : found.length === 1 ? '1 printer' : `${found.length} printers`;
  const shown = ranges.slice(0, 4).map((range) => forTerminal(range, 60));
  const more = ranges.length > shown.length ? ` and ${ranges.length - shown.length} more` : '';
  const tried = `${addressesTried.toLocaleString('en-GB')} ${addressesTried === 1 ? 'address' : 'addresses'}`;
  return `${count} found in ${shown.join(', ')}${more} (${tried}, ${(tookMs / 1000).toFixed(1)} s)`;
}

function hint(columns: number): readonly string[] {
  const says =
    'Nothing answered at all. If printers are there, a firewall may stand between, or they sit in another range: ' +
    'name that range, or ask one address with "outfeed why ADDRESS".';
  return ['', ...wrap(says, { columns, first: '', rest: '' })];
}

interface Column {
  readonly title: string;
  readonly text: (printer: FoundPrinter) => string;
  /** Narrowest and widest in cells. */
  readonly least: number;
  readonly most: number;
}

const COLUMNS: readonly Column[] = [
  { title: 'ADDRESS', text: (one) => one.address, least: 15, most: 39 },
  { title: 'NAME', text: (one) => one.name ?? '-', least: 10, most: 28 },
  { title: 'MODEL', text: (one) => one.model ?? '-', least: 12, most: 34 },
  { title: 'SERIAL', text: (one) => one.serial ?? '-', least: 8, most: 20 },
  { title: 'FOUND BY', text: (one) => one.foundBy.join(' '), least: 12, most: 32 },
];

function table(found: readonly FoundPrinter[], columns: number): readonly string[] {
  const cells = found.map((printer) => COLUMNS.map((column) => forTerminal(column.text(printer), 80)));
  const widths = fitted(
    COLUMNS.map((column, at) => {
      const widest = Math.max(column.title.length, ...cells.map((row) => row[at]?.length ?? 0));
      return { least: Math.min(widest, column.least), want: Math.min(widest, column.most) };
    }),
    columns,
  );
  const line = (row: readonly string[]): string =>
    row
      .map((text, at) => pad(elide(text, widths[at] ?? 8), widths[at] ?? 8))
      .join(' '.repeat(GAP))
      .trimEnd();
  const also = (printer: FoundPrinter): readonly string[] =>
    printer.alsoAt.length === 0
      ? []
      : wrap(`also at ${printer.alsoAt.join(', ')}`, { columns, first: '  ', rest: '  ' });
  return [
    line(COLUMNS.map((column) => column.title)),
    ...found.flatMap((printer, at) => [line(cells[at] ?? []), ...also(printer)]),
  ];
}

/** Widths that fit the line: everyone gets the least it needs, what is left goes to those who want more, in turn. */
function fitted(
  wishes: readonly { readonly least: number; readonly want: number }[],
  columns: number,
): readonly number[] {
  const widths = wishes.map((wish) => wish.least);
  let left = columns - widths.reduce((sum, width) => sum + width, 0) - GAP * (widths.length - 1);
  while (left > 0 && wishes.some((wish, at) => (widths[at] ?? 0) < wish.want)) {
    for (const [at, wish] of wishes.entries()) {
      const width = widths[at] ?? 0;
      if (left <= 0 || width >= wish.want) continue;
      widths[at] = width + 1;
      left -= 1;
    }
  }
  return widths;
}

function others({ others: list }: SweepDocument, columns: number): readonly string[] {
  if (list.length === 0) return [];
  const shown = list.slice(0, MOST_OTHERS);
  const lines = shown.flatMap(({ address, what }) =>
    wrap(`${address}  ${forTerminal(what, 160)}`, { columns, first: '  ', rest: '    ' }),
  );
  const rest = list.length - shown.length;
  return [
    '',
    'Also there, not printers:',
    ...lines,
    ...(rest > 0 ? [`  and ${rest} more; --json lists them all`] : []),
  ];
}
