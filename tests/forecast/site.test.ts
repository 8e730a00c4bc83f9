import { describe, expect, test } from 'vitest';
import { calendarOf } from '../../src/forecast/calendar.js';
import { feedingFaults } from '../../src/forecast/feeding.js';
import { maintenanceOf } from '../../src/forecast/maintenance.js';
import { isUrgent, type SiteOptions, suppliesDocument } from '../../src/forecast/site.js';
import { cartridgeOf } from '../../src/forecast/yield.js';
import type { ModelSupplies } from '../../src/model/cartridge.js';
import type { SupplyHistory } from '../../src/model/history.js';
import { DAY, daily, falling, pastOf, START } from './readings.js';

const model: ModelSupplies = {
  model: 'office.yaml',
  currency: 'EUR',
  supplies: [
    { order: 'PE-410K', type: 'toner', colour: 'black', ratedPages: 5000, price: 80 },
    { order: 'PE-41W', supply: 'Waste toner' },
  ],
  maintenance: [{ part: 'fuser', everyPages: 10_000 }],
};
const asOf = START + 30 * DAY;
const options: SiteOptions = { asOf, interval: 0.9, leadDays: 7, risk: 0.05, models: new Map() };
const named = (printer: string, history: SupplyHistory): SupplyHistory => ({ ...history, printer });
const fast = pastOf(daily(falling(100, 3, 31), { pagesADay: 50 }));
const slow = pastOf(daily(falling(100, 0.5, 31), { pagesADay: 50, capacity: 100 }));

describe('the order list', () => {
  test('what may run out before it could be delivered is ordered today', () => {
    const { orders } = suppliesDocument([fast], options);
    expect(orders).toMatchObject([{ what: 'Black toner', fits: ['front-desk'], quantity: 1, orderBy: '2026-02-04' }]);
    expect(orders[0]?.because).toMatch(/^front-desk may be empty by 2026-02-0\d \(5 % chance\)/);
    expect(isUrgent(suppliesDocument([fast], options))).toBe(true);
  });

  test('what lasts is not ordered', () => {
    const document = suppliesDocument([slow], options);
    expect(document.orders).toEqual([]);
    expect(isUrgent(document)).toBe(false);
  });

  test('less delivery time and more accepted risk put the date off', () => {
    const by = (more: Partial<SiteOptions>) => {
      const half = pastOf(daily(falling(100, 2, 31), { pagesADay: 50 }));
      return suppliesDocument([half], { ...options, ...more }).orders[0]?.orderBy ?? '';
    };
    expect(by({ leadDays: 2 }) > by({ leadDays: 10 })).toBe(true);
    expect(by({ risk: 0.4 }) >= by({ risk: 0.01 })).toBe(true);
  });

  test('90 % of a slow toner is not ordered today because of one chance in a hundred', () => {
    const few = pastOf(daily(falling(100, 1, 11)));
    const { orders, forecasts } = suppliesDocument([few], {
      ...options,
      asOf: START + 10 * DAY,
      risk: 0.01,
      interval: 0.97,
    });
    expect(orders).toEqual([]);
    expect(forecasts[0]?.daysLeft?.low).toBeGreaterThan(30);
    expect(forecasts[0]?.daysLeft?.high).toBeLessThan(365);
    expect(
      suppliesDocument([few], { ...options, asOf: START + 10 * DAY, risk: 0.001, leadDays: 0 }).orders,
    ).not.toMatchObject([{ orderBy: '2026-01-15' }]);
  });

  test('printers that share a cartridge share a line, by name without models', () => {
    const { orders } = suppliesDocument([named('a', fast), named('b', fast), named('c', slow)], options);
    expect(orders).toMatchObject([{ fits: ['a', 'b'], quantity: 2 }]);
    expect(orders[0]?.because).toContain('; then b 2026-');
  });

  test('the same name on two models is two things, and one order name is one', () => {
    const two = [
      { ...named('a', fast), model: 'Heron 20' },
      { ...named('b', fast), model: 'Curlew 7' },
    ];
    expect(suppliesDocument(two, options).orders).toHaveLength(2);
    const models = new Map([
      ['a', model],
      ['b', { ...model, model: 'other.yaml' }],
    ]);
    expect(suppliesDocument(two, { ...options, models }).orders).toMatchObject([{ what: 'PE-410K', quantity: 2 }]);
  });

  test('what is empty is ordered with or without history', () => {
    const empty = pastOf(daily([0]));
    const full = pastOf(daily([0]), { name: 'Waste toner', type: 'wasteToner', class: 'receptacleThatIsFilled' });
    const { orders, forecasts } = suppliesDocument([named('a', empty), named('b', full)], options);
    expect(forecasts.map(({ state }) => state)).toEqual(['empty', 'full']);
    expect(orders.map(({ because }) => because)).toEqual(['a is empty', 'b is full']);
  });

  test('what is empty stands before what is low', () => {
    const histories = [named('a', pastOf(daily([8]))), named('b', pastOf(daily([0])))];
    const [order] = suppliesDocument(histories, options).orders;
    expect(order).toMatchObject({ fits: ['b', 'a'], quantity: 2, because: 'b is empty; then a (low)' });
  });

  test('what is low without a history is ordered to be safe', () => {
    const { orders } = suppliesDocument([pastOf(daily([8]))], options);
    expect(orders[0]?.because).toContain('has 8 % left, and there is no history');
  });
});

describe('coverage and yield, by hand', () => {
  test('5000 pages at 5 % that become 2500 here are 10 % coverage; 80.00 for 2500 pages are 0.032 each', () => {
    const history = pastOf(daily(falling(100, 2, 31), { pagesADay: 50 }));
    const { forecasts } = suppliesDocument([history], { ...options, models: new Map([['front-desk', model]]) });
    const { pagesPerPercent, ratedPagesPerPercent, coverage, costPerPage, currency } = forecasts[0]?.yield ?? {};
    expect({ ratedPagesPerPercent, currency }).toEqual({ ratedPagesPerPercent: 50, currency: 'EUR' });
    expect(pagesPerPercent).toBeCloseTo(25, 0);
    expect(coverage).toBeCloseTo(10, 0);
    expect(costPerPage).toBeCloseTo(0.032, 3);
  });

  test('a drum is rated in pages too, but has no coverage, and never leaks', () => {
    const drums = [...falling(100, 2, 50), ...falling(100, 2, 50), ...falling(100, 5, 12)];
    const history = pastOf(daily(drums, { pagesADay: 50 }), { name: 'Drum', type: 'opc', colour: null });
    const rated: ModelSupplies = { ...model, supplies: [{ order: 'DR', type: 'opc', ratedPages: 12_500, price: 80 }] };
    const made = { ...options, asOf: START + 111 * DAY, models: new Map([['front-desk', rated]]) };
    const [drum] = suppliesDocument([history], made).forecasts;
    expect(drum?.yield).toMatchObject({ ratedPagesPerPercent: 125, coverage: null, currency: 'EUR' });
    expect(drum?.notes?.join()).toMatch(/^wears 2\.\d times as fast for each page as the ones before: many short jobs/);
  });

  test('a cartridge is found by the name of the supply, else by type and colour', () => {
    const found = (name: string, type: string, colour: string | null) =>
      cartridgeOf({ name, type, colour }, model.supplies)?.order;
    expect(found('WASTE TONER', 'other', null)).toBe('PE-41W');
    expect(found('Black', 'tonerCartridge', 'black')).toBe('PE-410K');
    expect(found('Cyan', 'toner', 'cyan')).toBeUndefined();
  });
});

describe('maintenance', () => {
  const worked = { printer: 'front-desk', pages: 23_000, pagesPerDay: 100, asOf };
  const plan = { part: 'fuser', everyPages: 10_000 };

  test('by pages since it was last done', () => {
    const done = [{ printer: 'Front-Desk', at: '2025-06-01', pages: 14_000 }];
    const made = maintenanceOf({ ...plan, done }, worked, calendarOf());
    expect(made).toMatchObject({ state: 'soon', pagesLeft: 1000, dueAt: '2026-02-14' });
    const over = maintenanceOf(
      { ...plan, done: [{ ...done[0], pages: 12_000 } as (typeof done)[0]] },
      worked,
      calendarOf(),
    );
    expect(over).toMatchObject({ state: 'due', pagesLeft: -1000 });
    expect(over.because).toContain('1000 pages over');
  });

  test('without a word on that, from the last whole multiple of the interval', () => {
    const made = maintenanceOf(plan, worked, calendarOf());
    expect(made).toMatchObject({ state: 'ok', pagesLeft: 7000 });
    expect(made.because).toContain('does not say when it was last done');
  });

  test('by age, and whichever comes first', () => {
    const aged = { part: 'filter', everyDays: 365, done: [{ printer: 'front-desk', at: '2025-01-10' }] };
    expect(maintenanceOf(aged, worked, calendarOf())).toMatchObject({ state: 'due', dueAt: '2026-01-10' });
    const both = {
      ...aged,
      everyDays: 400,
      everyPages: 30_000,
      done: [{ printer: 'front-desk', at: '2025-01-10', pages: 0 }],
    };
    expect(maintenanceOf(both, worked, calendarOf())).toMatchObject({
      state: 'soon',
      dueAt: '2026-02-14',
      pagesLeft: 7000,
    });
  });

  test('days of age are those where the printer is', () => {
    const aged = { part: 'filter', everyDays: 365, done: [{ printer: 'front-desk', at: '2025-01-10' }] };
    for (const zone of ['America/Los_Angeles', 'Pacific/Auckland'])
      expect(maintenanceOf(aged, worked, calendarOf(zone))).toMatchObject({ dueAt: '2026-01-10' });
  });

  test('a counter that is lower than when it was done tells nothing', () => {
    const done = [{ printer: 'front-desk', at: '2025-06-01', pages: 151_200 }];
    const made = maintenanceOf({ ...plan, everyPages: 150_000, done }, worked, calendarOf());
    expect(made).toMatchObject({ state: 'unknown', pagesLeft: null, dueAt: null });
    expect(made.because).toContain('the page counter is lower now');
  });

  test('a hundred years ahead there is no date', () => {
    const made = maintenanceOf({ ...plan, everyPages: 1_000_000_000 }, { ...worked, pagesPerDay: 0.1 }, calendarOf());
    expect(made).toMatchObject({ state: 'ok', dueAt: null });
  });

  test('without a counter and a date nothing is known', () => {
    expect(maintenanceOf(plan, { ...worked, pages: null }, calendarOf())).toMatchObject({
      state: 'unknown',
      dueAt: null,
    });
  });

  test('goes by the counter of the history', () => {
    const document = suppliesDocument([fast], { ...options, models: new Map([['front-desk', model]]) });
    expect(document.maintenance).toMatchObject([{ part: 'fuser', pagesLeft: 3500, state: 'ok' }]);
  });
});

describe('feeding faults by tray', () => {
  const sheetsBy = (at: number): number => ((at - START) / DAY) * 1000;
  const span = { from: START, to: START + 40 * DAY };
  const jams = (component: string, days: readonly number[]) =>
    days.map((day) => ({ printer: 'a', at: START + day * DAY, code: 'inputMediaTrayJam', component }));

  test('for 10,000 sheets, by hand: 2 faults in 40,000 sheets are 0.5', () => {
    const [tray] = feedingFaults(jams('Tray 1', [3, 30]), sheetsBy, span);
    expect(tray).toMatchObject({ tray: 'Tray 1', faults: 2, per10000: 0.5, before: 0.5, lately: 0.5, rising: false });
  });

  test('1 in the first half and 9 in the second are rising: by chance 11 in 1024', () => {
    const late = [21, 23, 25, 27, 29, 31, 33, 35, 37];
    const [tray] = feedingFaults(jams('Tray 2', [5, ...late]), sheetsBy, span);
    expect(tray).toMatchObject({ faults: 10, rising: true });
    expect(feedingFaults(jams('Tray 2', [5, 8, 21, 23, 25, 27]), sheetsBy, span)[0]?.rising).toBe(false);
  });

  // The normal approximation with its correction for continuity passes 2 % at half of all, and half a fault, and 2.0537
  // standard deviations (NIST/SEMATECH e-Handbook, 1.3.6.7.1) of half the root of all.
  test.each([100, 1000, 1076, 2000, 200_000])(
    'of %d faults as many have to be late as the normal curve asks for',
    (all) => {
      const least = Math.ceil(all / 2 + 0.5 + (2.0537 * Math.sqrt(all)) / 2);
      const rising = (late: number) => {
        const half = (day: number, count: number) =>
          jams(
            'Tray 1',
            Array.from({ length: count }, () => day),
          );
        return feedingFaults([...half(5, all - late), ...half(30, late)], sheetsBy, span)[0]?.rising;
      };
      expect([rising(least - 1), rising(least)]).toEqual([false, true]);
    },
  );

  test('other alerts and no sheets count for nothing', () => {
    expect(feedingFaults([{ printer: 'a', at: START, code: 'coverOpen', component: null }], sheetsBy, span)).toEqual(
      [],
    );
    expect(feedingFaults(jams('Tray 1', [3]), () => 7, span)).toEqual([]);
  });
});
