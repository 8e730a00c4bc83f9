import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calendarOf } from '../../src/forecast/calendar.js';
import { type ForecastOptions, foresee } from '../../src/forecast/forecast.js';
import type { SupplyHistory, SupplyReading } from '../../src/model/history.js';
import { DAY, daily, falling, pastOf, START } from './readings.js';

function at(history: SupplyHistory, more: Partial<ForecastOptions> = {}) {
  const asOf = history.readings.at(-1)?.at ?? START;
  return foresee(history, { asOf, interval: 0.9, calendar: calendarOf(), ...more }).forecast;
}

describe('a steady fall', () => {
  const steady = pastOf(daily(falling(100, 2, 31), { pagesADay: 50 }));

  test('40 % at 2 % a day last 20 days, 25 pages a percent give 1000 pages', () => {
    const { percent, state, enough, perDay, daysLeft, pagesLeft, emptyAt } = at(steady);
    expect({ percent, state, enough }).toEqual({ percent: 40, state: 'ok', enough: true });
    expect(perDay?.median).toBeCloseTo(2, 1);
    expect(Math.abs((daysLeft?.median ?? 0) - 20)).toBeLessThan(1.5);
    expect(Math.abs((pagesLeft?.median ?? 0) - 1000)).toBeLessThan(40);
    expect(emptyAt?.median.slice(0, 7)).toBe('2026-02');
  });

  test('low, middle and high are in order, and a wider interval is wider', () => {
    const narrow = at(steady, { interval: 0.5 }).daysLeft;
    const wide = at(steady, { interval: 0.95 }).daysLeft;
    expect(narrow?.low).toBeGreaterThan(wide?.low ?? 0);
    expect(narrow?.high).toBeLessThan(wide?.high ?? 0);
    expect(narrow?.median).toBe(wide?.median);
  });

  test('without a counter there are days and no pages', () => {
    const forecast = at(pastOf(daily(falling(100, 2, 31))));
    expect(forecast.pagesLeft).toBeNull();
    expect(forecast.yield).toBeNull();
    expect(Math.abs((forecast.daysLeft?.median ?? 0) - 20)).toBeLessThan(3);
    expect(forecast.because).toContain('the rhythm of the week');
  });

  test('the same past gives the same answer, and later readings are not looked at', () => {
    expect(at(steady)).toEqual(at(steady));
    const asOf = START + 20 * DAY;
    const cut = pastOf(steady.readings.filter((reading) => reading.at <= asOf));
    expect(at(steady, { asOf })).toEqual(at(cut, { asOf }));
  });

  test('days that pass without a reading are used up too', () => {
    const last = steady.readings.at(-1)?.at ?? 0;
    const now = at(steady).daysLeft?.median ?? 0;
    const later = at(steady, { asOf: last + 7 * DAY });
    expect(Math.abs((later.daysLeft?.median ?? 0) - (now - 7))).toBeLessThan(1);
    expect(later.notes?.join()).toContain('last read 7 days before');
  });
});

describe('what earlier cartridges tell', () => {
  const before = [...falling(100, 2, 50), ...falling(100, 2, 50)];

  test('a young one is foreseen from them', () => {
    const { enough, daysLeft, refills, because } = at(pastOf(daily([...before, 100, 98], { pagesADay: 50 })));
    expect(enough).toBe(true);
    expect(refills).toEqual(['2026-02-24', '2026-04-15']);
    expect(Math.abs((daysLeft?.median ?? 0) - 49)).toBeLessThan(5);
    expect(because).toContain('2 earlier ones');
  });

  test('a bigger cartridge lasts longer by as much', () => {
    const small = daily(falling(3000, 60, 50), { capacity: 3000, unit: 'impressions', pagesADay: 50 });
    const big = [6000, 5940].map((level, i) => ({
      at: START + (50 + i) * DAY,
      level,
      capacity: 6000,
      unit: 'impressions',
      pages: 5000 + (50 + i) * 50,
    }));
    expect(Math.abs((at(pastOf([...small, ...big])).daysLeft?.median ?? 0) - 99)).toBeLessThan(12);
  });

  test('one that empties far too early is pointed out', () => {
    const leaking = at(pastOf(daily([...before, ...falling(100, 5, 12)], { pagesADay: 50 })));
    expect(leaking.notes?.join()).toMatch(/empties 2\.\d times as fast for each page as the ones before/);
    expect(at(pastOf(daily([...before, ...falling(100, 2, 12)], { pagesADay: 50 }))).notes).toEqual([]);
  });
});

describe('coarse steps', () => {
  test('the place in the step is known from when it was reached', () => {
    // 25 % steps, 12 days each, rounded up: 100 for (75,100].
    const stairs = (days: number) =>
      Array.from({ length: days }, (_, i) => Math.max(0, Math.ceil((100 - i * 2.0833) / 25) * 25));
    const past = [...stairs(49), ...stairs(40)];
    const { daysLeft, notes } = at(pastOf(daily(past, { pagesADay: 40 })));
    expect(Math.abs((daysLeft?.median ?? 0) - 9)).toBeLessThan(4);
    expect(notes).toContain('the printer counts in steps of 25 %');
  });
});

describe('receptacles', () => {
  test('the space that is left falls, and 0 is full', () => {
    const waste = { name: 'Waste toner', type: 'wasteToner', class: 'receptacleThatIsFilled', colour: null };
    expect(at(pastOf(daily(falling(60, 2, 31)), waste))).toMatchObject({ percent: 0, state: 'full', enough: true });
    expect(at(pastOf(daily(falling(60, 2, 26)), waste))).toMatchObject({ percent: 10, state: 'low' });
  });
});

describe('not enough history', () => {
  test.each([
    ['no reading', [], 'no reading'],
    ['one reading', [80], 'one reading'],
    ['a level that stands', [80, 80, 80, 80, 80, 80, 80, 80], 'the level has not fallen yet in 7 days'],
    ['one step', [80, 80, 80, 80, 75, 75, 75, 75], 'the level has fallen once in 7 days'],
    ['a new cartridge', [20, 20, 20, 100, 100, 100, 100, 100], 'the level has not fallen yet in 7 days'],
    ['one step, then a new cartridge', [25, 20, 20, 100, 100, 100, 100, 100], 'the level has fallen once in 7 days'],
    ['three days', [80, 77, 75, 70], '3 days of readings'],
    ['only "some left"', [-3, -3, -3], 'only that some is left'],
    ['only "unknown"', [-2, -2, -2], 'gives no level'],
  ])('%s', (_, levels, because) => {
    const forecast = at(pastOf(daily(levels)));
    expect(forecast).toMatchObject({ enough: false, perDay: null, daysLeft: null, emptyAt: null, pagesLeft: null });
    expect(forecast.because).toContain(because);
  });
});

test('readings of one day are told as such, not as a level that has not fallen in 0 days', () => {
  const [first] = daily([80]);
  const readings = [0, 1, 2].map((hour) => ({ ...(first as SupplyReading), at: (first?.at ?? 0) + hour * 3_600_000 }));
  expect(at(pastOf(readings)).because).toBe(
    'not enough history yet: 3 readings of one day, a forecast needs some days of them',
  );
});

describe('whatever the readings', () => {
  const reading = fc.record({
    at: fc.integer({ min: START, max: START + 400 * DAY }),
    level: fc.oneof(fc.integer({ min: -5, max: 120 }), fc.integer({ min: -2_147_483_648, max: 2_147_483_647 })),
    capacity: fc.option(fc.integer({ min: -5, max: 10_000 })),
    unit: fc.option(fc.constantFrom('percent', 'impressions', 'tenthsOfGrams', 'other')),
    pages: fc.option(fc.integer({ min: 0, max: 4_294_967_295 })),
  });

  test('there is an answer, in order and finite', () => {
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 60 }), (readings) => {
        const sorted = [...readings].sort((a, b) => a.at - b.at);
        const { percent, daysLeft, pagesLeft, perDay } = at(pastOf(sorted));
        expect(percent === null || (percent >= 0 && percent <= 100)).toBe(true);
        for (const estimate of [daysLeft, pagesLeft, perDay]) {
          if (estimate === null) continue;
          expect(estimate.low).toBeLessThanOrEqual(estimate.median);
          expect(estimate.median).toBeLessThanOrEqual(estimate.high);
          expect(Number.isFinite(estimate.high) && estimate.low >= 0).toBe(true);
        }
      }),
      { numRuns: 300, seed: 7 },
    );
  });
});
