import { styleText } from 'node:util';
import stringWidth from 'string-width';
import {
  FARTHEST_DAYS,
  type FeedingFaults,
  type Forecast,
  isFar,
  type Maintenance,
  type Order,
  type SuppliesDocument,
} from '../model/supplies.js';
import { forTerminal } from './escape.js';
import { isForWaste } from './site-words.js';
import { pad, wrap } from './wrap.js';

export interface SuppliesTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
  /** `2026-01-31`: the date that is asked about, where the printers are. */
  readonly today: string;
}

type Style = Parameters<typeof styleText>[0];
type Paint = (text: string, style: Style) => string;

const NARROWEST = 40;
const WIDEST = 110;
const MOST_NAME = 60;
/** More rows than a person reads in one go; `--json` and `--csv` have them all. */
const MOST_ROWS = 60;
const MOST_SUBJECTS = 6;
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/**
 * What to do first, then what is known: orders due today, orders soon, care that is due, how long each supply lasts, what
 * can't be foreseen and why. Readable in 80 columns and without colour. Ends in a line break.
 */
export function renderSupplies(document: SuppliesDocument, options: SuppliesTextOptions): string {
  const columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(options.columns) || 80));
  const paint: Paint = (text, style) => (options.color ? styleText(style, text, { validateStream: false }) : text);
  const { orders, forecasts, maintenance, feeding = [], problems } = document;
  const today = orders.filter(({ orderBy }) => orderBy <= options.today);
  const later = orders.filter(({ orderBy }) => orderBy > options.today);
  const known = [...forecasts].filter(({ enough }) => enough).sort(soonestFirst);
  const unknown = forecasts.filter(({ enough }) => !enough);
  const year = options.today.slice(0, 4);
  const sections = [
    { title: 'ORDER TODAY', style: ['bold', 'magentaBright'] as Style, lines: orderLines(today, columns, year) },
    { title: 'ORDER SOON', style: 'bold' as Style, lines: orderLines(later, columns, year, true) },
    {
      title: 'CARE',
      style: 'bold' as Style,
      lines: [...careLines(maintenance, columns, year), ...feedingLines(feeding, columns)],
    },
    { title: lastsTitle(document.interval), style: 'bold' as Style, lines: lastsLines(known, columns, year) },
    { title: 'NO FORECAST', style: 'bold' as Style, lines: unknownLines(unknown, columns) },
    { title: 'REMARKS', style: 'bold' as Style, lines: remarkLines(known, problems, columns) },
  ].filter(({ lines }) => lines.length > 0);
  const head = wrap(headline(document, today.length, options.today), { columns, first: '', rest: '' });
  const lines = [
    ...head.map((line) => paint(line, 'bold')),
    ...sections.flatMap(({ title, style, lines: body }) => [
      '',
      ...wrap(title, { columns, first: '', rest: '' }).map((line) => paint(line, style)),
      ...body,
    ]),
  ];
  return `${lines.join('\n')}\n`;
}

function headline({ forecasts }: SuppliesDocument, urgent: number, today: string): string {
  const out = forecasts.filter(({ state }) => state === 'empty' || state === 'full').length;
  const words = [
    out === 0 ? '' : out === 1 ? '1 supply is used up' : `${out} supplies are used up`,
    urgent === 0 ? '' : urgent === 1 ? '1 order is due today' : `${urgent} orders are due today`,
  ].filter((part) => part !== '');
  const says =
    words.length > 0 ? words.join(', ') : forecasts.length === 0 ? 'no supplies known' : 'nothing to order today';
  return `Supplies on ${dateWords(today, '')}: ${says}.`;
}

function soonestFirst(a: Forecast, b: Forecast): number {
  return (a.daysLeft?.median ?? 0) - (b.daysLeft?.median ?? 0);
}

function orderLines(orders: readonly Order[], columns: number, year: string, withDate = false): readonly string[] {
  return capped(orders).flatMap((entry) => {
    if (typeof entry === 'string') return [entry];
    const { what, fits, quantity, orderBy, because } = entry;
    const by = withDate ? `by ${dateWords(orderBy, year)}: ` : '';
    const names = fits.map((name) => forTerminal(name, 60)).join(', ');
    return [
      ...wrap(`${by}${quantity} x ${forTerminal(what, 100)}, for ${names}`, { columns, first: '  ', rest: '      ' }),
      ...wrap(forTerminal(because, 600), { columns, first: '      ', rest: '      ' }),
    ];
  });
}

function careLines(parts: readonly Maintenance[], columns: number, year: string): readonly string[] {
  const due = parts.filter(({ state }) => state === 'due' || state === 'soon');
  return due.flatMap(({ printer, part, state, dueAt, because }) => {
    // A colon, because parts come in ones and in pairs: "pick-up rollers".
    const when = state === 'due' ? 'due now' : dueAt === null ? 'due soon' : `due about ${dateWords(dueAt, year)}`;
    return wrap(`${forTerminal(printer, 60)}, ${when}: ${forTerminal(part, 60)} (${forTerminal(because, 200)})`, {
      columns,
      first: '  ',
      rest: '      ',
    });
  });
}

/** Only what rises: a rate that stays is the printer's own. */
function feedingLines(feeding: readonly FeedingFaults[], columns: number): readonly string[] {
  return feeding
    .filter(({ rising }) => rising)
    .flatMap(({ printer, tray, faults, before, lately }) =>
      wrap(
        `${forTerminal(printer, 60)}: the rollers of ${forTerminal(tray, 60)} wear: ${lately} feeding faults for 10,000 sheets lately, ${before} before (${faults} in all). Clean or exchange them as the maker's service manual says.`,
        { columns, first: '  ', rest: '      ' },
      ),
    );
}

function lastsTitle(interval: number): string {
  return `HOW LONG THEY LAST (right ${Number((interval * 100).toPrecision(3))} times in 100)`;
}

const FAR = 'in 3+ years';
const HEADS = ['printer', 'supply', 'now', 'out about', 'between', 'pages'];
const INDENT = 2;
const LEAST_NAME = 7;

function lastsLines(forecasts: readonly Forecast[], columns: number, year: string): readonly string[] {
  if (forecasts.length === 0) return [];
  const shown = capped(forecasts);
  const rows = [HEADS, ...shown.filter((entry) => typeof entry !== 'string').map((entry) => cellsOf(entry, year))];
  const widths = HEADS.map((_, at) => Math.max(...rows.map((row) => stringWidth(row[at] ?? ''))));
  const [printers = 0, supplies = 0, ...all] = widths;
  const { others, room } = roomBeside(all, columns);
  const names = Math.max(LEAST_NAME, Math.floor(room / 2));
  const fits = printers + supplies <= room;
  const first = fits ? printers : Math.min(printers, Math.max(names, room - supplies));
  const cells = [first, Math.min(supplies, Math.max(LEAST_NAME, room - first)), ...others];
  const lines = rows.map((row) => {
    const padded = cells.map((width, at) => pad(fitted(row[at] ?? '', width), width));
    return `${' '.repeat(INDENT)}${padded.join(' ')}`.trimEnd();
  });
  return [...lines, ...shown.filter((entry) => typeof entry === 'string')];
}

/** Room for the two names. The last columns tell least and are left out first where a terminal is too narrow for all. */
function roomBeside(others: readonly number[], columns: number): { others: readonly number[]; room: number } {
  const room = columns - INDENT - others.reduce((sum, width) => sum + width + 1, 0) - 1;
  return room >= 2 * LEAST_NAME || others.length === 1 ? { others, room } : roomBeside(others.slice(0, -1), columns);
}

function cellsOf(forecast: Forecast, year: string): readonly string[] {
  const { printer, supply, pagesLeft } = forecast;
  return [
    forTerminal(printer, MOST_NAME),
    forTerminal(supply.name, MOST_NAME),
    nowWords(forecast),
    ...endCells(forecast, year),
    pagesLeft === null ? '' : String(twoDigits(pagesLeft.median)),
  ];
}

/** About when it is used up, and between when and when. */
function endCells(forecast: Forecast, year: string): readonly [string, string] {
  const { emptyAt, daysLeft } = forecast;
  if (emptyAt === null || daysLeft === null) return ['', ''];
  if (daysLeft.low >= FARTHEST_DAYS) return [FAR, ''];
  const high = daysLeft.high >= FARTHEST_DAYS ? 'later' : shortDate(emptyAt.high, year);
  return [isFar(forecast) ? FAR : dateWords(emptyAt.median, year), `${shortDate(emptyAt.low, year)} - ${high}`];
}

function nowWords(forecast: Forecast): string {
  const { state } = forecast;
  return state === 'empty' || state === 'full' ? state.toUpperCase() : (leftWords(forecast) ?? '?');
}

/** A box for waste counts the room that is left: "0 %" alone would be taken for an empty box. */
function leftWords({ percent, supply }: Forecast): string | undefined {
  if (percent === null) return undefined;
  return isForWaste(supply.type) ? `${percent} % free` : `${percent} %`;
}

function unknownLines(forecasts: readonly Forecast[], columns: number): readonly string[] {
  return capped(forecasts).flatMap((entry) => {
    if (typeof entry === 'string') return [entry];
    const { printer, supply, state, because } = entry;
    const left = leftWords(entry);
    const level = left === undefined ? '' : `, ${left}`;
    const stands = state === 'unknown' ? '' : `, ${state === 'ok' ? 'ok' : state.toUpperCase()}`;
    const text = `${forTerminal(printer, 60)}, ${forTerminal(supply.name, 80)}${level}${stands}: ${forTerminal(because, 200)}`;
    return wrap(text, { columns, first: '  ', rest: '      ' });
  });
}

/** The same remark on several supplies is one. */
function remarkLines(forecasts: readonly Forecast[], problems: readonly string[], columns: number): readonly string[] {
  const subjects = new Map<string, string[]>();
  for (const { printer, supply, notes = [] } of forecasts) {
    for (const note of notes) subjects.set(note, [...(subjects.get(note) ?? []), `${printer} ${supply.name}`]);
  }
  const notes = [...subjects].map(([note, of]) => {
    return of.length === 1 ? `${of[0]}: ${note}` : `${note}: ${listed(of)}`;
  });
  return capped([...problems, ...notes]).flatMap((text) =>
    wrap(forTerminal(text, 600), { columns, first: '  ', rest: '      ' }),
  );
}

function listed(subjects: readonly string[]): string {
  const shown = subjects.slice(0, MOST_SUBJECTS);
  const rest = subjects.length - shown.length;
  return `${shown.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}

/** `23 Mar 2026`; the year is left out where it is this one. */
function dateWords(date: string, year: string): string {
  const [y = '', month = '', day = ''] = date.split('-');
  const name = MONTHS[Number(month) - 1];
  if (name === undefined) return date;
  return `${Number(day)} ${name}${y === year ? '' : ` ${y}`}`;
}

function shortDate(date: string, year: string): string {
  const [y = ''] = date.split('-');
  return y === year ? dateWords(date, year) : `${dateWords(date, y)} ${y.slice(2)}`.replace(/ (\d\d)$/, " '$1");
}

/** What is uncertain is not given to the last page. */
function twoDigits(pages: number): number {
  return pages < 100 ? pages : Number(pages.toPrecision(2));
}

/** Cut to a number of terminal cells; a wide character takes two. The text is safe already. */
function fitted(text: string, cells: number): string {
  if (stringWidth(text) <= cells) return text;
  return `${wrap(text, { columns: cells - 1, first: '', rest: '' })[0] ?? ''}…`;
}

function capped<T>(rows: readonly T[]): readonly (T | string)[] {
  if (rows.length <= MOST_ROWS) return rows;
  return [...rows.slice(0, MOST_ROWS), `  and ${rows.length - MOST_ROWS} more, see --json or --csv`];
}
