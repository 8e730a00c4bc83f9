import { describe, expect, test } from 'vitest';
import { LAYERS } from '../../src/model/layers.js';
import { askPage } from '../../src/page/ask.js';
import { clockOf } from '../../src/page/clock.js';
import { defectsPage } from '../../src/page/defects.js';
import { incidentsPage } from '../../src/page/incidents.js';
import { lastsWords } from '../../src/page/levels.js';
import { overviewPage } from '../../src/page/overview.js';
import { readListQuery } from '../../src/page/overview-query.js';
import { printerPage } from '../../src/page/printer.js';
import { signInPage } from '../../src/page/sign-in.js';
import { suppliesPage } from '../../src/page/supplies.js';
import { troublePage } from '../../src/page/trouble.js';
import type { PrinterView } from '../../src/page/view.js';
import { ENGLISH, type Words } from '../../src/page/words.js';
import { frame, NOW, textOf, view, well } from './views.js';

/** Another language: every text of the catalogue between marks that nothing else has. */
function foreign<T>(value: T): T {
  if (typeof value === 'string') return (value === '' ? '' : `⟦${value}⟧`) as T;
  if (typeof value === 'function') return ((...args: unknown[]) => `⟦${value(...args)}⟧`) as T;
  const entries = Object.entries(value as object).map(([name, inner]) => [name, foreign(inner)]);
  return Object.fromEntries(entries) as T;
}

const WORDS: Words = { ...foreign(ENGLISH), language: 'en', locale: 'en-GB' };
const shown = frame({ words: WORDS, clock: clockOf(NOW, 'UTC', WORDS), site: '1' });
/** A printer that says nothing in any language. */
const MUTE: PrinterView = (() => {
  const base = well('2');
  const why = base.why;
  if (why === null) throw new Error('a look was expected');
  return {
    ...base,
    document: null,
    why: {
      ...why,
      printer: { name: null, address: '3', model: null, serial: null },
      verdict: { ...why.verdict, summary: '4', next: [] },
      layers: LAYERS.map((layer) => ({ layer, state: 'clear' as const, summary: '5', evidence: [] })),
      evidence: [],
    },
    bundle: null,
  };
})();
const UNREAD = view('6', { why: null, bundle: null, document: null, lastAnswerAt: null });
const list = { query: readListQuery(new URLSearchParams('q=2')), sweep: { running: true, lastAt: null } };

const PAGES: Readonly<Record<string, () => string>> = {
  overview: () => overviewPage({ printers: [MUTE, UNREAD], ...list }, shown),
  empty: () => overviewPage({ printers: [], ...list }, shown),
  printer: () =>
    printerPage({ view: MUTE, forecasts: [], past: { firstSeen: 1, incidents: [], verdicts: [], changes: [] } }, shown),
  unread: () => printerPage({ view: UNREAD, forecasts: [], past: null }, shown),
  questions: () => askPage(MUTE, new URLSearchParams(), shown),
  incidents: () => incidentsPage({ incidents: [], reliability: [] }, shown),
  'no memory': () => incidentsPage(null, shown),
  supplies: () => suppliesPage(null, shown),
  defects: () =>
    defectsPage({ query: new URLSearchParams(), view: null, printers: [] }, shown).replace(
      /<ul class="pictures">.*?<\/ul>/s,
      '',
    ),
  trouble: () => troublePage('7', '8', shown),
  'sign in': () => signInPage({ csrf: '', next: '/', wrong: null }, '/', WORDS),
};

describe('every word of the page comes out of the catalogue', () => {
  test.each(Object.keys(PAGES))('%s', (name) => {
    const html = PAGES[name]?.() ?? '';
    const rest = textOf(html)
      .replace(/⟦[^⟦⟧]*(⟦[^⟦⟧]*⟧[^⟦⟧]*)*⟧/g, '')
      .replace(/\d{1,2} \p{L}+ \d{4}/gu, '');
    expect(rest.match(/\p{L}{2,}/gu) ?? []).toEqual([]);
    const told = [...html.matchAll(/(?:aria-label|placeholder|data-\w+-words)="([^"]*)"/g)].map(
      ([, text]) => text ?? '',
    );
    expect(told.filter((text) => !text.includes('⟦'))).toEqual([]);
  });
});

test('what outlasts all that is foreseen has no date', () => {
  const date = '2026-01-31';
  const same = { median: date, low: date, high: date };
  const told = {
    printer: '1',
    percent: 90,
    state: 'ok',
    enough: true,
    because: '',
    perDay: null,
    refills: [],
  } as const;
  const forecast = {
    ...told,
    supply: { index: 1, name: '2', type: 'toner', colour: null },
    emptyAt: same,
    pagesLeft: null,
  };
  const lasts = (median: number) => lastsWords({ ...forecast, daysLeft: { median, low: 300, high: 1095 } }, frame());
  expect(lasts(1094)).toContain('2026');
  expect(lasts(1095)).toBe('lasts longer than three years');
});
