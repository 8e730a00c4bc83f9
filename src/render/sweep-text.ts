import { styleText } from 'node:util';
import stringWidth from 'string-width';
import type { FoundPrinter, SweepDocument } from '../model/sweep.js';
import { forTerminal } from './escape.js';
import { elideCells, pad, wrap } from './wrap.js';

export interface SweepTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
}

const NARROWEST = 40;
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
    ...(silentAll(document) ? hint(columns) : []),
    ...others(document, columns),
    ...changes(document, columns),
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

/** Of a sweep that was stopped before its first address nothing can be said. */
function silentAll({ found, others: rest, addressesTried }: SweepDocument): boolean {
  return found.length === 0 && rest.length === 0 && addressesTried > 0;
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
  /** Which column is left out first where the line is too narrow for all. An address is never cut or left out. */
  readonly spare: number;
}

const COLUMNS: readonly Column[] = [
  { title: 'ADDRESS', text: (one) => one.address, least: 45, most: 45, spare: 0 },
  { title: 'NAME', text: (one) => one.name ?? '-', least: 10, most: 28, spare: 1 },
  { title: 'MODEL', text: (one) => one.model ?? '-', least: 12, most: 34, spare: 3 },
  { title: 'SERIAL', text: (one) => one.serial ?? '-', least: 8, most: 20, spare: 4 },
  { title: 'FOUND BY', text: (one) => one.foundBy.join(' '), least: 12, most: 32, spare: 2 },
];

interface Filled {
  readonly column: Column;
  readonly cells: readonly string[];
  readonly least: number;
  readonly want: number;
}

function table(found: readonly FoundPrinter[], columns: number): readonly string[] {
  const shown = chosen(
    COLUMNS.map((column) => {
      const cells = found.map((printer) => forTerminal(column.text(printer), 80));
      const widest = Math.max(column.title.length, ...cells.map((cell) => stringWidth(cell)));
      return { column, cells, least: Math.min(widest, column.least), want: Math.min(widest, column.most) };
    }),
    columns,
  );
  const widths = fitted(shown, columns);
  const line = (texts: readonly string[]): string =>
    texts
      .map((text, at) => pad(elideCells(text, widths[at] ?? 0), widths[at] ?? 0))
      .join(' '.repeat(GAP))
      .trimEnd();
  return [
    line(shown.map(({ column }) => column.title)),
    ...found.flatMap((_, at) => [line(shown.map(({ cells }) => cells[at] ?? '')), ...remarksOf(found[at], columns)]),
  ];
}

function chosen(all: readonly Filled[], columns: number): readonly Filled[] {
  const needed = all.reduce((sum, { least }) => sum + least + GAP, -GAP);
  if (needed <= columns || all.length === 1) return all;
  const most = Math.max(...all.map(({ column }) => column.spare));
  return chosen(
    all.filter(({ column }) => column.spare !== most),
    columns,
  );
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

/** What a line of the table has no room for; empty for most printers. */
function remarksOf(printer: FoundPrinter | undefined, columns: number): readonly string[] {
  if (printer === undefined) return [];
  const { selfAssigned, candidate, because = '', address, deviceIndex, alsoAt } = printer;
  const words = [
    deviceIndex === undefined ? '' : `one of several printers there: ask for ${address}#${deviceIndex}`,
    alsoAt.length === 0 ? '' : `also at ${alsoAt.map((one) => forTerminal(one, 60)).join(', ')}`,
    selfAssigned === true ? 'self-assigned: nobody gave it an address, so it reaches no further than this link' : '',
    candidate === true ? `perhaps a printer: ${forTerminal(because, 200)}` : '',
  ].filter((part) => part !== '');
  return words.length === 0 ? [] : wrap(words.join('; '), { columns, first: '  ', rest: '  ' });
}

/** What differs from the configuration and from an earlier sweep, what is lost before what is new. */
function changes({ changes: list }: SweepDocument, columns: number): readonly string[] {
  if (list === undefined) return [];
  if (list.length === 0) return ['', 'Nothing new, gone, moved or changed.'];
  const titles = {
    configuration: 'Compared with the configuration:',
    'earlier-sweep': 'Compared with the earlier sweep:',
  };
  return (['configuration', 'earlier-sweep'] as const).flatMap((against) => {
    const own = list.filter((change) => change.against === against);
    if (own.length === 0) return [];
    const order = ['gone', 'moved', 'changed', 'new'] as const;
    const lines = order.flatMap((what) =>
      own
        .filter((change) => change.what === what)
        .slice(0, MOST_OTHERS)
        .flatMap(({ summary }) =>
          wrap(forTerminal(summary, 300), { columns, first: `  ${what.padEnd(8)} `, rest: '    ' }),
        ),
    );
    return ['', titles[against], ...lines];
  });
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
