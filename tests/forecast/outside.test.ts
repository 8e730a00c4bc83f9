import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Fit } from '../../src/forecast/fit.js';
import { normalBelow, normalQuantile } from '../../src/forecast/normal.js';
import { fallOf } from '../../src/forecast/slope.js';
import { emptyWithin, narrowed, timeUntil } from '../../src/forecast/until-empty.js';

interface CheckValues {
  readonly normal: { readonly below: readonly [number, number][]; readonly quantiles: readonly [number, number][] };
  readonly slopes: readonly { readonly x: readonly number[]; readonly y: readonly number[]; readonly slope: number }[];
  readonly passages: readonly Readonly<Record<'left' | 'mean' | 'variance' | 'low' | 'median' | 'high', number>>[];
}

/** Made by check-values.py with numpy and Python's statistics module on the same numbers. */
const values = JSON.parse(readFileSync(new URL('./check-values.json', import.meta.url), 'utf8')) as CheckValues;

describe('against numpy and Python', () => {
  test('normal distribution and quantiles', () => {
    for (const [z, below] of values.normal.below) expect(Math.abs(normalBelow(z) - below)).toBeLessThan(2e-7);
    for (const [share, z] of values.normal.quantiles) expect(normalQuantile(share)).toBeCloseTo(z, 3);
  });

  test.each(values.slopes)('slope of Theil and Sen, outlier and all: $slope', ({ x, y, slope }) => {
    expect(fallOf(x.map((at, i) => ({ x: at, y: y[i] ?? 0 })))).toBeCloseTo(-slope, 12);
  });

  /** 200,000 simulated passages each. Seen from a day anywhere, without the half lump that looking back from an end asks for. */
  test.each(values.passages)(
    'days until $left is used up at $mean a day',
    ({ left, mean, variance, low, median, high }) => {
      const fit = { noise: () => variance, freedom: 1e9 } as unknown as Fit;
      const lump = variance / mean / 2;
      const cases = [{ weight: 1, left: left + lump, fall: mean }];
      const coming = (days: number) => ({ mean: days, variance: 0 });
      const until = (share: number) => timeUntil(share, (days) => emptyWithin(cases, fit, coming, days), 1095);
      expect(Math.abs(until(0.05) / low - 1)).toBeLessThan(0.02);
      expect(Math.abs(until(0.5) / median - 1)).toBeLessThan(0.02);
      expect(Math.abs(until(0.95) / high - 1)).toBeLessThan(0.02);
    },
  );
});

/** NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: upper critical values of Student's t distribution. */
const STUDENT: readonly (readonly [share: number, freedom: number, t: number])[] = [
  [0.95, 3, 2.353],
  [0.975, 3, 3.182],
  [0.995, 3, 5.841],
  [0.999, 3, 10.215],
  [0.975, 5, 2.571],
  [0.995, 5, 4.032],
  [0.999, 5, 5.893],
  [0.975, 10, 2.228],
  [0.999, 10, 4.143],
];

describe('against the table of the t distribution', () => {
  test.each(STUDENT)('at %d with %d degrees of freedom: %d', (share, freedom, t) => {
    const z = normalQuantile(share);
    expect(Math.abs(narrowed(t, freedom) / z - 1)).toBeLessThan(0.02);
    expect(narrowed(-t, freedom)).toBe(-narrowed(t, freedom));
  });
});

describe('by hand', () => {
  test('slope: pairs of (0,100) (10,90) (20,85) (30,40) fall by 1, 0.75, 2, 0.5, 2.5 and 4.5; the middle is 1.5', () => {
    const points = [100, 90, 85, 40].map((y, i) => ({ x: i * 10, y }));
    expect(fallOf(points)).toBeCloseTo(1.5, 12);
  });

  test('no slope without a fall', () => {
    expect(fallOf([])).toBeUndefined();
    expect(fallOf([{ x: 1, y: 50 }])).toBeUndefined();
    expect(
      fallOf([
        { x: 1, y: 50 },
        { x: 2, y: 60 },
      ]),
    ).toBeUndefined();
    expect(
      fallOf([
        { x: 1, y: 50 },
        { x: 1, y: 40 },
      ]),
    ).toBeUndefined();
  });
});
