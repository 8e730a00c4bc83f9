import { describe, expect, test } from 'vitest';
import { countAt, pastOf, sinceVisitOf } from '../../src/snapshot/past.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const NOW = Date.parse('2026-01-31T09:00:00.000Z');
const MIDNIGHT = Date.parse('2026-01-31T00:00:00.000Z');

describe('the last three months of a printer', () => {
  test('every state stands from when it was found until the next; before the watch began nothing is claimed', () => {
    const since = NOW - 10 * DAY;
    const found = [
      { at: since + HOUR, silent: false, cause: 'nothing-wrong-found' },
      { at: NOW - 5 * DAY, silent: true, cause: 'media-jam' },
      { at: NOW - 4 * DAY, silent: null, cause: 'no-sign-of-life' },
      { at: NOW - 3 * DAY, silent: false, cause: 'nothing-wrong-found' },
      { at: NOW - 2 * DAY, silent: false, cause: 'nothing-wrong-found' },
    ];
    const { states } = pastOf({ since, found, counts: [] }, NOW);
    expect(states.map(({ state, cause }) => [state, cause])).toEqual([
      ['unwatched', null],
      ['well', null],
      ['silent', 'media-jam'],
      ['unclear', 'no-sign-of-life'],
      ['well', null],
    ]);
    // Without gaps, from the first day that is shown until now.
    expect(states[0]?.from).toBe('2025-11-03T00:00:00.000Z');
    expect(states.at(-1)?.to).toBe('2026-01-31T09:00:00.000Z');
    states.slice(1).forEach(({ from }, index) => {
      expect(from).toBe(states[index]?.to);
    });
  });

  test('what was found before the time that is shown still stands at its beginning', () => {
    const found = [{ at: NOW - 200 * DAY, silent: true, cause: 'media-empty' }];
    const { states } = pastOf({ since: NOW - 300 * DAY, found, counts: [] }, NOW);
    expect(states).toMatchObject([{ state: 'silent', cause: 'media-empty', from: '2025-11-03T00:00:00.000Z' }]);
  });

  test('pages of a day are what the counter rose by within it; a lower counter tells nothing', () => {
    const counts = [
      { at: MIDNIGHT - 3 * DAY - HOUR, pages: 1000 },
      { at: MIDNIGHT - 2 * DAY + HOUR, pages: 1040 },
      { at: MIDNIGHT - 2 * DAY + 20 * HOUR, pages: 1050 },
      { at: MIDNIGHT - DAY + HOUR, pages: 7 },
      { at: MIDNIGHT + HOUR, pages: 12 },
      { at: NOW + HOUR, pages: 99 },
    ];
    const { pages, firstDay } = pastOf({ since: 0, found: [], counts }, NOW);
    expect(pages).toHaveLength(90);
    expect(firstDay).toBe('2025-11-03');
    // By hand: no page on the 28th, 50 on the 29th, another counter on the 30th, 5 on the 31st until nine.
    expect(pages.slice(-5)).toEqual([null, 0, 50, null, 5]);
    expect(pages.slice(0, -5).every((one) => one === null)).toBe(true);
  });

  test('a counter is what it was last read as', () => {
    const counts = [10, 20, 30].map((at) => ({ at, pages: at * 100 }));
    expect([9, 10, 19, 20, 99].map((at) => countAt(counts, at))).toEqual([null, 1000, 1000, 2000, 3000]);
    expect(countAt([], 5)).toBeNull();
  });
});

describe('since the last visit', () => {
  const incident = {
    id: 'i',
    printer: 'a',
    layer: 'media' as const,
    cause: 'media-jam',
    component: null,
    endedAt: null,
    acknowledgedAt: null,
  };
  const lastVisit = '2026-01-10T00:00:00.000Z';

  test('pages are counted where both ends are known, faults from when they began', () => {
    const incidents = ['2026-01-09T00:00:00.000Z', '2026-01-11T00:00:00.000Z'].map((startedAt) => ({
      ...incident,
      startedAt,
    }));
    expect(sinceVisitOf({ lastVisit, lifePagesThen: 100, lifePagesNow: 140, incidents })).toEqual({
      pages: 40,
      lifePagesThen: 100,
      faults: 1,
    });
    for (const [then, now] of [
      [null, 5],
      [5, null],
      [140, 100],
    ] as const) {
      expect(sinceVisitOf({ lastVisit, lifePagesThen: then, lifePagesNow: now, incidents: [] }).pages).toBeNull();
    }
  });
});
