import { describe, expect, test } from 'vitest';
import type { Forecast, SuppliesDocument } from '../../src/model/supplies.js';
import { suppliesCsv } from '../../src/render/supplies-csv.js';
import { renderSupplies } from '../../src/render/supplies-text.js';

const known: Forecast = {
  printer: 'front-desk',
  supply: { index: 1, name: 'Black toner', type: 'toner', colour: 'black' },
  percent: 41,
  state: 'ok',
  enough: true,
  because: 'this one since 2026-01-04, measured against the page counter',
  perDay: { median: 0.8, low: 0.6, high: 1.1 },
  daysLeft: { median: 51, low: 37, high: 68 },
  emptyAt: { median: '2026-03-23', low: '2026-03-09', high: '2027-01-09' },
  pagesLeft: { median: 2134, low: 1500, high: 2800 },
  refills: ['2026-01-04'],
  yield: null,
  notes: ['the printer counts in steps of 10 %'],
};
const unknown: Forecast = {
  ...known,
  printer: 'attic',
  supply: { index: 2, name: 'Drum', type: 'opc', colour: null },
  percent: null,
  state: 'unknown',
  enough: false,
  because: 'the printer gives no level: a forecast can not be made',
  perDay: null,
  daysLeft: null,
  emptyAt: null,
  pagesLeft: null,
  refills: [],
  notes: [],
};
const document: SuppliesDocument = {
  schema: 'outfeed.supplies/1',
  asOf: '2026-01-31T09:00:00.000Z',
  interval: 0.9,
  forecasts: [known, unknown],
  orders: [
    { what: 'PE-410K', fits: ['a', 'b'], quantity: 2, orderBy: '2026-01-31', because: 'a is empty; then b (low)' },
    { what: 'PE-410C', fits: ['c'], quantity: 1, orderBy: '2026-02-14', because: 'c may be empty by 2026-02-21' },
  ],
  maintenance: [
    { printer: 'a', part: 'fuser', state: 'due', pagesLeft: -20, dueAt: '2026-01-31', because: 'every 9000 pages' },
    { printer: 'a', part: 'filter', state: 'ok', pagesLeft: null, dueAt: '2027-01-31', because: 'every 730 days' },
  ],
  problems: ['b tells nothing of its supplies'],
};
const text = (given = document, columns = 80) => renderSupplies(given, { color: false, columns, today: '2026-01-31' });

test('the whole page', () => {
  expect(text()).toBe(`Supplies on 31 Jan 2026: 1 order is due today.

ORDER TODAY
  2 x PE-410K, for a, b
      a is empty; then b (low)

ORDER SOON
  by 14 Feb: 1 x PE-410C, for c
      c may be empty by 2026-02-21

CARE
  a, due now: fuser (every 9000 pages)

HOW LONG THEY LAST (right 90 times in 100)
  printer    supply      now  out about between           pages
  front-desk Black toner 41 % 23 Mar    9 Mar - 9 Jan '27 2100

NO FORECAST
  attic, Drum: the printer gives no level: a forecast can not be made

REMARKS
  b tells nothing of its supplies
  front-desk Black toner: the printer counts in steps of 10 %
`);
});

test('where the foreseeing ends no date is claimed', () => {
  const days = (low: number, median: number, high: number): Forecast => ({ ...known, daysLeft: { median, low, high } });
  const rows = (forecast: Forecast) => text({ ...document, forecasts: [forecast] });
  expect(rows(days(37, 51, 1095))).toContain('41 % 23 Mar    9 Mar - later 2100');
  expect(rows(days(37, 1095, 1095))).toContain('41 % in 3+ years 9 Mar - later 2100');
  expect(rows(days(1095, 1095, 1095))).toMatch(/41 % in 3\+ years +2100/);
});

describe('whatever is in it', () => {
  const hostile = '\u001b[31m漢字漢字漢字漢字漢字漢字漢字漢字\u202e\u0007';
  const wild: SuppliesDocument = {
    ...document,
    forecasts: [{ ...known, printer: hostile, supply: { ...known.supply, name: hostile }, notes: [hostile] }, unknown],
    orders: [{ what: hostile, fits: [hostile], quantity: 1, orderBy: '2026-01-31', because: hostile.repeat(20) }],
    problems: [hostile],
  };

  test.each([60, 80, 100])('no line is wider than %i cells, and nothing acts on the terminal', async (columns) => {
    const { default: width } = await import('string-width');
    const out = text(wild, columns);
    for (const line of out.split('\n')) expect(width(line)).toBeLessThanOrEqual(columns);
    expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
    expect(suppliesCsv(wild)).not.toMatch(/[\u0000-\u0009\u000b\u000c\u000e-\u001f\u007f-\u009f\u202e]/);
  });

  test('colour only where it is wanted', () => {
    expect(text()).not.toContain('\u001b');
    expect(renderSupplies(document, { color: true, columns: 80, today: '2026-01-31' })).toContain('\u001b[');
  });

  test('nothing known', () => {
    const empty = { ...document, forecasts: [], orders: [], maintenance: [], problems: [] };
    expect(text(empty)).toBe('Supplies on 31 Jan 2026: no supplies known.\n');
  });

  test('long lists are cut with a word about the rest', () => {
    const many = { ...document, forecasts: Array.from({ length: 200 }, () => known) };
    expect(text(many)).toContain('and 140 more, see --json or --csv');
  });
});

test('the table: one header, forecasts then orders, as many cells in each line', () => {
  const rows = suppliesCsv(document).trimEnd().split('\r\n');
  expect(rows).toHaveLength(5);
  expect(rows[1]).toBe(
    'forecast,front-desk,1,Black toner,toner,black,41,ok,true,0.8,51,37,68,2026-03-23,2026-03-09,2027-01-09,2134,,,,"this one since 2026-01-04, measured against the page counter"',
  );
  expect(rows[4]).toBe('order,c,,PE-410C,,,,,,,,,,,,,,,1,2026-02-14,c may be empty by 2026-02-21');
});

test('a box for waste is told by the room that is left', () => {
  const supply = { index: 3, name: 'Waste toner box', type: 'wasteToner', colour: null };
  const full: Forecast = { ...unknown, supply, percent: 0, state: 'full', because: 'one reading' };
  const forecasts = [{ ...known, supply }, full];
  const told = text({ ...document, forecasts }, 100);
  expect(told).toMatch(/Waste toner box +41 % free /);
  expect(told).toContain('attic, Waste toner box, 0 % free, FULL: one reading');
});
