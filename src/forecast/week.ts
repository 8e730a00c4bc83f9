/** The rhythm of the week, and how unevenly the days are used. */
import { type Calendar, shareUsed, usedBy, type WeekWeights, weekdayOf } from './calendar.js';

/** Something used between two moments: pages, or percent of a level. */
export interface Use {
  readonly from: number;
  readonly to: number;
  readonly amount: number;
}

/** Before anything is known: Monday to Friday alike, a weekend day a fifth (common practice, no published source). */
const USUAL: readonly number[] = [1, 1, 1, 1, 1, 0.2, 0.2];
/** Longer silences say nothing of single days. */
const LONGEST_DAYS = 3.5;

/** Amounts by local day, spread over the days between two looks; days in longer silences are left out. */
export function byDay(uses: readonly Use[], calendar: Calendar): ReadonlyMap<number, { amount: number; seen: number }> {
  const days = new Map<number, { amount: number; seen: number }>();
  const add = (day: number, amount: number, seen: number): void => {
    const known = days.get(day);
    if (known === undefined) days.set(day, { amount, seen });
    else {
      known.amount += amount;
      known.seen += seen;
    }
  };
  for (const { from, to, amount } of uses) {
    const a = calendar.dayOf(from);
    const b = calendar.dayOf(to);
    const length = b.day + b.passed - a.day - a.passed;
    if (length <= 0 || length > LONGEST_DAYS) continue;
    const shares: [number, number][] = [];
    for (let day = a.day; day <= b.day; day++) {
      const share = (day === b.day ? shareUsed(b.passed) : 1) - (day === a.day ? shareUsed(a.passed) : 0);
      shares.push([day, share]);
    }
    const sum = shares.reduce((total, [day, share]) => total + share * (USUAL[weekdayOf(day)] ?? 1), 0);
    for (const [day, share] of shares) {
      const part = sum > 0 ? (share * (USUAL[weekdayOf(day)] ?? 1)) / sum : share / shares.length;
      add(day, amount * part, share);
    }
  }
  return days;
}

/**
 * Weights of the seven days, drawn towards the usual week where little is known. `grain` is the least amount that can be
 * seen at once: a step of a level in percent, one page of a counter.
 */
export function weekWeights(
  days: ReadonlyMap<number, { readonly amount: number; readonly seen: number }>,
  grain: number,
): WeekWeights {
  const amount = Array.from({ length: 7 }, () => 0);
  const seen = Array.from({ length: 7 }, () => 0);
  for (const [day, entry] of days) {
    const weekday = weekdayOf(day);
    amount[weekday] = (amount[weekday] ?? 0) + entry.amount;
    seen[weekday] = (seen[weekday] ?? 0) + entry.seen;
  }
  const expected = seen.reduce((sum, days, i) => sum + days * (USUAL[i] ?? 1), 0);
  const total = amount.reduce((sum, part) => sum + part, 0);
  const rate = expected > 0 ? total / expected : 0;
  if (rate <= 0) return scaled(USUAL);
  const doubt = Math.min(60, 2 + (4 * grain) / rate);
  return scaled(USUAL.map((usual, i) => ((amount[i] ?? 0) / rate + doubt * usual) / ((seen[i] ?? 0) + doubt)));
}

function scaled(weights: readonly number[]): WeekWeights {
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return weights.map((weight) => (weight * 7) / sum);
}

/** How a counter runs: pages for an average day, and how far a stretch of days strays from that. */
export interface Pace {
  readonly perDay: number;
  /** Variance of `perDay` itself. */
  readonly variance: number;
  /** Variance of the sum over a stretch, for each average day in it, by the length of the stretch in days. */
  readonly spread: (length: number) => number;
  /** Independent stretches that this rests on. */
  readonly freedom: number;
}

const BLOCKS = [7, 14, 28] as const;
/** Weight of what is usual against what was seen, in stretches. */
const PRIOR_BLOCKS = 3;
/** Twice as long a stretch varies by so much more than chance alone would have it: holidays, seasons (common practice). */
export const LONGER = 1.5;
/** Usual variance of one day's use as a share of the mean squared (common practice, no published source). */
const PRIOR_SPREAD = 0.6;

/** The pace of a daily series. Undefined when less than three days were seen. */
export function paceOf(
  days: ReadonlyMap<number, { readonly amount: number; readonly seen: number }>,
  weights: WeekWeights,
): Pace | undefined {
  const series = [...days]
    .filter(([, { seen }]) => seen > 0)
    .map(([day, { amount, seen }]) => ({ day, amount, load: seen * (weights[weekdayOf(day)] ?? 0) }))
    .sort((a, b) => a.day - b.day);
  const load = series.reduce((sum, entry) => sum + entry.load, 0);
  const amount = series.reduce((sum, entry) => sum + entry.amount, 0);
  if (load < 2 || amount <= 0) return undefined;
  const perDay = amount / load;
  let before = PRIOR_SPREAD * perDay * perDay;
  let freedom = PRIOR_BLOCKS;
  const spreads = BLOCKS.map((length, i) => {
    const { squares, count, used, evenness } = blockSquares(series, perDay, length);
    const seen = used > 0 && count > 1 ? (squares / used) * (count / (count - 1)) : before;
    const known = count > 1 ? count - 1 : 0;
    const prior = i === 0 ? before : before * LONGER;
    before = drawn(prior, PRIOR_BLOCKS, seen, known);
    if (i === 0) freedom = PRIOR_BLOCKS + known * evenness;
    return before;
  });
  const spread = (length: number): number => between(spreads, length);
  return { perDay, variance: between(spreads, 28) / load, spread, freedom };
}

function between(spreads: readonly number[], length: number): number {
  const [short = 0, middle = 0, long = 0] = spreads;
  if (length <= BLOCKS[0]) return short;
  if (length <= BLOCKS[1]) return short + ((middle - short) * (length - BLOCKS[0])) / (BLOCKS[1] - BLOCKS[0]);
  return middle + (long - middle) * Math.min(1, (length - BLOCKS[1]) / (BLOCKS[2] - BLOCKS[1]));
}

function blockSquares(
  series: readonly { readonly day: number; readonly amount: number; readonly load: number }[],
  perDay: number,
  length: number,
): { squares: number; count: number; used: number; evenness: number } {
  const blocks = new Map<number, { rest: number; load: number }>();
  const end = series.at(-1)?.day ?? 0;
  for (const { day, amount, load } of series) {
    const key = Math.floor((end - day) / length);
    const block = blocks.get(key) ?? { rest: 0, load: 0 };
    block.rest += amount - perDay * load;
    block.load += load;
    blocks.set(key, block);
  }
  let squares = 0;
  let used = 0;
  let count = 0;
  let fourth = 0;
  let second = 0;
  for (const { rest, load } of blocks.values()) {
    if (load < length / 2) continue;
    squares += rest * rest;
    used += load;
    count += 1;
    second += (rest * rest) / load;
    fourth += (rest * rest * rest * rest) / (load * load);
  }
  return { squares, count, used, evenness: evennessOf(fourth, second, count) };
}

/** Average days of use between two moments. */
export function usedBetween(weights: WeekWeights, calendar: Calendar, from: number, to: number): number {
  const a = calendar.dayOf(from);
  const b = calendar.dayOf(to);
  return usedBy(weights, b.day, b.passed) - usedBy(weights, a.day, a.passed);
}

/**
 * How much a variance is worth that was made of so many squares: 1 when they are as even as those of a normal
 * distribution, less when a few of them are most of the sum (its variance grows with the fourth moment).
 */
export function evennessOf(fourth: number, second: number, count: number): number {
  if (count < 2 || second <= 0) return 1;
  const kurtosis = (fourth * count) / (second * second);
  return Math.min(1, 2 / Math.max(2, kurtosis - 1));
}

/** No site is so much steadier than usual. */
const STEADIEST = 0.03;

/**
 * A variance drawn towards the usual one, by their weights and in proportion rather than in sum: sites are a hundred times
 * as steady as one another. The logarithm of a variance from few squares is too small by one over their number.
 */
export function drawn(usual: number, usualWeight: number, seen: number, weight: number): number {
  if (weight <= 0) return usual;
  const fair = seen * Math.exp(1 / weight);
  const bounded = Math.max(fair, usual * STEADIEST);
  return Math.exp((usualWeight * Math.log(usual) + weight * Math.log(bounded)) / (usualWeight + weight));
}
