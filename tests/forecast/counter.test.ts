import { describe, expect, test } from 'vitest';
import { pagesBetween, pagesSince } from '../../src/forecast/counter.js';
import { DAY, daily } from './readings.js';

describe('pages between two looks at a Counter32', () => {
  test.each([
    ['counts up', 1000, 1200, 200],
    ['wraps at 2^32 (RFC 2578 section 7.1.6)', 4_294_967_200, 104, 200],
    ['begins again on a new board', 182_000, 40, 40],
    ['is set to that of another board, further back', 182_000, 170_000, 0],
    ['goes on with the counter of a printer that took its place', 12_340, 61_234, 0],
    ['counts a day of mailings', 12_340, 32_340, 20_000],
    ['is set to that of another board, impossibly far on', 1000, 3_000_000, 0],
    ['stands still', 77, 77, 0],
  ])('%s', (_, before, after, pages) => {
    expect(pagesBetween(before, after, DAY)).toBe(pages);
  });

  test('a fall that would take longer than the time to print is no use at all', () => {
    expect(pagesBetween(182_000, 170_000, DAY / 24)).toBe(0);
  });
});

describe('pages since the first look', () => {
  test('carries on where a look has none', () => {
    const looks = daily([1, 1, 1, 1, 1]).map((look, i) => ({ ...look, pages: i === 2 ? null : i * 100 }));
    expect(pagesSince(looks)).toEqual([0, 100, 100, 300, 400]);
  });

  test('no counter, or one that hardly moves', () => {
    expect(pagesSince(daily([1, 1, 1]))).toBeNull();
    expect(pagesSince(daily([1, 1, 1], { pagesADay: 1 }))).toBeNull();
    expect(pagesSince([])).toBeNull();
  });
});
