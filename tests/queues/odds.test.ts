import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTail, hypergeometricTail } from '../../src/queues/odds.js';

test('values that can be checked by hand', () => {
  // Eight cups of tea, four with milk first, all four told: 1 in C(8,4) = 70 (R. A. Fisher, The Design of Experiments, 1935, chapter II).
  expect(hypergeometricTail(4, 8, 4, 4)).toBeCloseTo(1 / 70, 12);
  // Three or more: 1/70 and 16/70.
  expect(hypergeometricTail(3, 8, 4, 4)).toBeCloseTo(17 / 70, 12);
  // Ten heads of ten: 2^-10. Nine or more: 11/1024. By hand.
  expect(binomialTail(10, 10, 0.5)).toBeCloseTo(1 / 1024, 12);
  expect(binomialTail(9, 10, 0.5)).toBeCloseTo(11 / 1024, 12);
  expect(binomialTail(6, 6, 1e-4) / 1e-24).toBeCloseTo(1, 9);
});

test('the ends', () => {
  expect([binomialTail(0, 5, 0.3), binomialTail(6, 5, 0.3), binomialTail(1, 5, 0), binomialTail(5, 5, 1)]).toEqual([
    1, 0, 0, 1,
  ]);
  expect([hypergeometricTail(0, 9, 3, 3), hypergeometricTail(4, 9, 3, 3), hypergeometricTail(2, 3, 3, 2)]).toEqual([
    1, 0, 1,
  ]);
});

test('tails fall with k and lie between 0 and 1', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 60 }),
      fc.integer({ min: 0, max: 60 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (n, k, p) => {
        const [here, next] = [binomialTail(k, n, p), binomialTail(k + 1, n, p)];
        expect(here).toBeGreaterThanOrEqual(next);
        expect(here).toBeLessThanOrEqual(1);
        expect(next).toBeGreaterThanOrEqual(0);
      },
    ),
    { seed: 6, numRuns: 200 },
  );
});

test('hypergeometric and counting agree', () => {
  // All ways to draw 3 of 7 of which the first 4 are marked, counted one by one.
  const ways: number[] = [];
  for (let a = 0; a < 7; a += 1)
    for (let b = a + 1; b < 7; b += 1)
      for (let c = b + 1; c < 7; c += 1) ways.push([a, b, c].filter((x) => x < 4).length);
  for (const k of [0, 1, 2, 3]) {
    expect(hypergeometricTail(k, 7, 4, 3)).toBeCloseTo(ways.filter((w) => w >= k).length / ways.length, 12);
  }
});
