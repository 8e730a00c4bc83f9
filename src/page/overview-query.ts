import { ALL_RANKS, matches, type PrinterView, type Rank, rankOf, worstFirst } from './view.js';

/** What a person wants to see of the list. */
export interface ListQuery {
  readonly text: string;
  readonly show: Rank | 'all';
  /** Counted from 1. */
  readonly page: number;
}

export interface ListPart {
  readonly rows: readonly PrinterView[];
  /** How many there are for this query, on all pages. */
  readonly found: number;
  readonly page: number;
  readonly pages: number;
}

/** Rows of one page: what a browser lays out within a second. */
export const MOST_ROWS = 1_000;
const LONGEST_TEXT = 100;

/** Reads the address of the list; what is none of it counts as not said. */
export function readListQuery(query: URLSearchParams): ListQuery {
  const show = query.get('show');
  const page = Number(query.get('page') ?? '1');
  return {
    text: (query.get('q') ?? '').trim().slice(0, LONGEST_TEXT),
    show: ALL_RANKS.find((rank) => rank === show) ?? 'all',
    page: Number.isSafeInteger(page) && page > 0 ? page : 1,
  };
}

/** The printers that a query means, worst first, one page of them. */
export function listPart(views: readonly PrinterView[], { text, show, page }: ListQuery): ListPart {
  const meant = views.filter((view) => (show === 'all' || rankOf(view) === show) && matches(view, text));
  const pages = Math.max(1, Math.ceil(meant.length / MOST_ROWS));
  const at = Math.min(page, pages);
  return {
    rows: worstFirst(meant).slice((at - 1) * MOST_ROWS, at * MOST_ROWS),
    found: meant.length,
    page: at,
    pages,
  };
}

/** Address of the list with some of a query changed. */
export function listHref(query: ListQuery, change: Partial<ListQuery>): string {
  const { text, show, page } = { ...query, page: 1, ...change };
  const params = new URLSearchParams();
  if (text !== '') params.set('q', text);
  if (show !== 'all') params.set('show', show);
  if (page > 1) params.set('page', String(page));
  const string = params.toString();
  return string === '' ? '/' : `/?${string}`;
}
