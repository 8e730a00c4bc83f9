import { describe, expect, test } from 'vitest';
import type { KeptIncident } from '../../src/model/incident.js';
import { askPage } from '../../src/page/ask.js';
import { defectsPage } from '../../src/page/defects.js';
import { incidentsPage } from '../../src/page/incidents.js';
import { overviewPage } from '../../src/page/overview.js';
import { readListQuery } from '../../src/page/overview-query.js';
import { printerPage } from '../../src/page/printer.js';
import { signInPage } from '../../src/page/sign-in.js';
import { suppliesPage } from '../../src/page/supplies.js';
import { troublePage } from '../../src/page/trouble.js';
import { ENGLISH } from '../../src/page/words.js';
import { hostilePrinter } from '../render/site-samples.js';
import { HOSTILE, hostileWhy } from '../render/why-samples.js';
import { frame, NOW, view } from './views.js';

const CRUEL = view(HOSTILE, {
  why: hostileWhy(),
  document: { ...hostilePrinter(), covers: [{ index: 1, name: HOSTILE, state: HOSTILE }] },
  address: HOSTILE,
  known: { silent: true, layer: 'media', cause: HOSTILE, summary: HOSTILE, since: NOW - 1 },
});
const INCIDENT: KeptIncident = {
  id: HOSTILE.slice(0, 60),
  printer: HOSTILE,
  layer: 'media',
  cause: HOSTILE,
  component: HOSTILE,
  startedAt: '2026-01-31T08:00:00.000Z',
  endedAt: null,
  acknowledgedAt: null,
  affects: [HOSTILE, HOSTILE],
  note: HOSTILE,
  flapping: true,
};
const FORECAST = {
  printer: HOSTILE,
  supply: { index: 1, name: HOSTILE, type: 'toner', colour: HOSTILE },
  percent: 5,
  state: 'low',
  enough: false,
  because: HOSTILE,
  perDay: null,
  daysLeft: null,
  emptyAt: null,
  pagesLeft: null,
  refills: [],
} as const;
const QUERY = new URLSearchParams([
  ['q', HOSTILE],
  ['printer', HOSTILE],
  ['symptom', 'streak'],
  ['marks', HOSTILE],
  ['answer', HOSTILE],
  ['skip', HOSTILE],
]);
const shown = frame({ site: HOSTILE, csrf: '"><script>' });

const PAGES: Readonly<Record<string, () => string>> = {
  overview: () =>
    overviewPage({ printers: [CRUEL], query: readListQuery(QUERY), sweep: { running: true, lastAt: 1 } }, shown),
  list: () =>
    overviewPage(
      { printers: [CRUEL], query: readListQuery(new URLSearchParams()), sweep: { running: true, lastAt: 1 } },
      shown,
    ),
  printer: () =>
    printerPage(
      {
        view: CRUEL,
        forecasts: [FORECAST],
        past: {
          firstSeen: 1,
          incidents: [INCIDENT],
          verdicts: [{ at: 1, silent: true, layer: 'media', cause: HOSTILE, summary: HOSTILE }],
          changes: [{ kind: HOSTILE, value: HOSTILE, at: 1 }],
        },
      },
      shown,
    ),
  questions: () => askPage(CRUEL, QUERY, shown),
  incidents: () =>
    incidentsPage(
      {
        incidents: [INCIDENT, { ...INCIDENT, endedAt: '2026-01-31T09:00:00.000Z' }],
        reliability: [
          {
            printer: HOSTILE,
            watchedSeconds: 1e6,
            silentSeconds: 1,
            availability: 0.9,
            faults: 3,
            meanSecondsBetweenFaults: 9,
          },
        ],
      },
      shown,
    ),
  supplies: () =>
    suppliesPage(
      {
        schema: 'outfeed.supplies/1',
        asOf: '2026-01-31T09:00:00.000Z',
        interval: 0.9,
        forecasts: [FORECAST],
        orders: [{ what: HOSTILE, fits: [HOSTILE], quantity: 1, orderBy: HOSTILE, because: HOSTILE }],
        maintenance: [
          { printer: HOSTILE, part: HOSTILE, state: 'due', pagesLeft: -5, dueAt: HOSTILE, because: HOSTILE },
        ],
        feeding: [{ printer: HOSTILE, tray: HOSTILE, faults: 3, per10000: 4, before: 1, lately: 9, rising: true }],
        problems: [HOSTILE],
      },
      shown,
    ),
  defects: () => defectsPage({ query: QUERY, view: CRUEL, printers: [HOSTILE] }, shown),
  pictures: () => defectsPage({ query: new URLSearchParams(), view: CRUEL, printers: [HOSTILE] }, shown),
  trouble: () => troublePage(HOSTILE, HOSTILE, shown),
  'sign in': () => signInPage({ csrf: HOSTILE, next: HOSTILE, wrong: HOSTILE }, '/assets/page.css', ENGLISH),
};

/** Elements that the page itself makes. */
const OWN =
  /^(html|head|meta|title|link|script|body|a|svg|symbol|path|circle|rect|use|g|header|p|bdi|nav|ul|ol|li|form|input|button|small|main|h1|h2|h3|span|b|section|article|div|label|details|summary|code|q|br|dl|dt|dd|table|thead|tbody|tr|th|td|select|option|footer)$/;

describe('what a printer says never becomes part of the page', () => {
  test.each(Object.keys(PAGES))('%s', (name) => {
    const html = PAGES[name]?.() ?? '';
    expect(html).not.toMatch(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    const tags = [...html.matchAll(/<\/?([a-zA-Z][^\s/>]*)/g)].map(([, tag]) => tag ?? '');
    expect([...new Set(tags)].filter((tag) => !OWN.test(tag))).toEqual([]);
    // The page's one script is its own; nothing has a handler or a style of its own, which the policy would refuse.
    expect(html.match(/<script/g) ?? []).toHaveLength(name === 'sign in' ? 0 : 1);
    expect(html).not.toMatch(/<[^>]*\s(on[a-z]+|style)\s*=\s*["']/i);
    expect(html).not.toMatch(/(href|action)="(?!\/|#|data:,)/);
  });
});
