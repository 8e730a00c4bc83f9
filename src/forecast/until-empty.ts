/** When a supply is empty, as a distribution: everything that is not known taken together. */

import { type Fit, ROUNDINGS } from './fit.js';
import { normalBelow, normalQuantile } from './normal.js';

/** Use that is still to come within some time: mean and variance, on the fit's clock. */
export type Coming = (time: number) => { readonly mean: number; readonly variance: number };

/** One way that things may stand, and how likely it is. */
interface Case {
  readonly weight: number;
  readonly left: number;
  readonly fall: number;
}

/** Odd number of slices into which a normal distribution is cut, each of the same weight. */
const FALL_SLICES = 9;
const LEVEL_SLICES = 5;
const quantiles = (count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => normalQuantile((i + 0.5) / count));
const FALL_QUANTILES = quantiles(FALL_SLICES);

/** True level and fall, jointly: those that agree with where the level has stood since the last step. */
export function casesOf(fit: Fit): readonly Case[] {
  const cases = fit.roundings.flatMap((share, i) => {
    const up = (ROUNDINGS[i] ?? 0) * fit.step;
    const high = Math.min(100, fit.level + up + fit.jitter);
    const low = Math.max(0, fit.level - fit.step + up - fit.jitter);
    if (share < 1e-3) return [];
    if (high <= 0) return [{ weight: share, left: 0, fall: fit.fall.mean }];
    return FALL_QUANTILES.flatMap((z) => {
      const fall = Math.max(fit.fall.mean * 0.1, fit.fall.mean + z * Math.sqrt(fit.fall.variance));
      return levelCases(fit, fall, { low, high, up, weight: share / FALL_SLICES });
    });
  });
  const sum = cases.reduce((total, { weight }) => total + weight, 0);
  if (sum > 1e-9) return cases.map((entry) => ({ ...entry, weight: entry.weight / sum }));
  const middle = Math.max(0, fit.level);
  return [{ weight: 1, left: middle, fall: fit.fall.mean }];
}

interface Bounds {
  readonly low: number;
  readonly high: number;
  readonly up: number;
  readonly weight: number;
}

function levelCases(fit: Fit, fall: number, { low, high, up, weight }: Bounds): readonly Case[] {
  const cut = (share: number): number => low + (high - low) * share;
  if (fit.last === undefined) {
    return Array.from({ length: LEVEL_SLICES }, (_, i) => {
      return { weight: weight / LEVEL_SLICES, left: cut((i + 0.5) / LEVEL_SLICES), fall };
    });
  }
  const use = Math.max(0, fit.now - fit.last.x);
  const mean = fit.last.y + (fit.lastIsStart ? 0 : up) - fall * use;
  const deviation = Math.sqrt(fit.noise(use) * use + fit.lastVariance + 1e-4);
  const from = normalBelow((low - mean) / deviation);
  const to = normalBelow((high - mean) / deviation);
  // Far outside its step a level still has to be somewhere: at the end that is nearer.
  const inside = Math.max(1e-4, to - from);
  return Array.from({ length: LEVEL_SLICES }, (_, i) => {
    const share = from + ((i + 0.5) / LEVEL_SLICES) * (to - from);
    const left = to - from < 1e-4 ? (mean < low ? low : high) : mean + deviation * normalQuantile(share);
    return { weight: (weight * inside) / LEVEL_SLICES, left: Math.min(high, Math.max(low, left)), fall };
  });
}

/**
 * Normal quantile that a Student quantile of the same probability stands for (Wallace 1959). It grows without bound, so that
 * with few degrees of freedom rare chances can still be told from each other. `log1p` is not needed for chances that matter,
 * and makes all forecasts an eighth slower.
 */
export function narrowed(t: number, freedom: number): number {
  const size = Math.sqrt(freedom * Math.log(1 + (t * t) / freedom));
  return (Math.sign(t) * size * (8 * freedom + 1)) / (8 * freedom + 3);
}

/**
 * Use comes in lumps of about variance over mean, and a supply runs out in the midst of one: seen back from its end, the
 * last days were busier than days are on average. Half a lump is taken as used already.
 */
const LUMP_SHARE = 0.5;

/** Probability that the supply is empty within a time. */
export function emptyWithin(cases: readonly Case[], fit: Fit, coming: Coming, time: number): number {
  const { mean, variance } = coming(time);
  const noise = fit.noise(mean) * mean;
  let probability = 0;
  for (const { weight, left, fall } of cases) {
    const sum = fall * fall * variance + noise;
    const expected = Math.max(1e-9, fall * mean);
    const z = surpassed(left - (LUMP_SHARE * sum) / expected, expected, sum);
    probability += weight * normalBelow(narrowed(z, fit.freedom));
  }
  return probability;
}

/** Below this, in squares of mean over variance, use is so lumpy that its shape no longer matters. */
const LUMPIEST = 0.3;

/**
 * Normal quantile of the probability that a sum of uses surpasses an amount. Use is never negative and comes in lumps, so
 * the sum is taken as gamma distributed, through its cube root (Wilson and Hilferty 1931).
 */
function surpassed(amount: number, mean: number, variance: number): number {
  if (amount <= 0) return Number.POSITIVE_INFINITY;
  const shape = Math.max(LUMPIEST, (mean * mean) / Math.max(variance, 1e-9 * mean * mean));
  return 3 * Math.sqrt(shape) * (1 - 1 / (9 * shape) - Math.cbrt(amount / mean));
}

/** The time by which the supply is empty with a probability; `most` when it lasts longer than that. */
export function timeUntil(probability: number, within: (time: number) => number, most: number): number {
  if (within(0) >= probability) return 0;
  let low = 0;
  let high = 1;
  while (within(high) < probability) {
    if (high >= most) return most;
    low = high;
    high = Math.min(most, high * 2);
  }
  for (let i = 0; i < 24 && high - low > 1e-3 * high; i++) {
    const middle = (low + high) / 2;
    if (within(middle) >= probability) high = middle;
    else low = middle;
  }
  return high;
}
