/** What a supply's past says: how fast it falls with use, how its printer rounds, and where it truly stands. */
import type { Life, Lives } from './lives.js';
import { type Crossing, crossingsOf, fallOf, unsteadiness } from './slope.js';
import { drawn, LONGER } from './week.js';

/** Knowledge of a number as a normal distribution. */
export interface Belief {
  readonly mean: number;
  readonly variance: number;
}

/** How far above the lower level the truth is when a printer steps down, in steps: rounding up, to the nearest, down. */
export const ROUNDINGS = [0, 0.5, 1] as const;

export interface Fit {
  /** Fall of the present cartridge per unit of use, percent. */
  readonly fall: Belief;
  /** Variance of the fall over a stretch, for each unit of use, percent², by the length of the stretch. */
  readonly noise: (use: number) => number;
  readonly freedom: number;
  /** Shares of ROUNDINGS. */
  readonly roundings: readonly number[];
  /** The last place where the present cartridge's level is known: see Crossing. Undefined when it never moved. */
  readonly last: Crossing | undefined;
  readonly lastVariance: number;
  /** True when `last` is where a full cartridge began: its level does not hang on the rounding. */
  readonly lastIsStart: boolean;
  /** What the printer says now, percent, and the clock of use now. */
  readonly level: number;
  readonly now: number;
  readonly step: number;
  readonly jitter: number;
  /** Steps that were seen, in all lives. */
  readonly steps: number;
  /** Percent that was used up while watched, in all lives. */
  readonly fallen: number;
  /** Earlier cartridges whose fall is known. */
  readonly earlier: number;
  /** The fall in the present cartridge alone, and in the earlier ones, in percent of the present one. */
  readonly own: Belief | undefined;
  readonly before: Belief | undefined;
}

/** Usual figures of a kind of clock, for when little has been seen (common practice, no published source). */
export interface Usual {
  /** Differences between cartridges: standard deviation of the fall as a share of it. */
  readonly betweenLives: number;
  /** Variance of the fall over one unit of use as a multiple of the fall and of the fall squared. */
  readonly perFall: number;
  readonly perFallSquared: number;
  /** Shortest stretch over which unsteadiness is measured, in units of use; 0 for none but that of the step. */
  readonly stretch: number;
}

const PRIOR_STRETCHES = 2;
const PRIOR_FREEDOM = 3;
const PRIOR_LIVES = 4;

interface Measured {
  readonly life: Life;
  readonly crossings: readonly Crossing[];
  readonly xs: readonly number[];
  /** Its size as a multiple of the present cartridge's. */
  readonly scale: number;
}

/** `clocks` gives the clock of use for each point of each life, `now` the clock at the moment that is asked about. */
export function fitLives(
  { lives, step, jitter }: Lives,
  clocks: readonly (readonly number[])[],
  now: number,
  usual: Usual,
): Fit | undefined {
  const size = lives.at(-1)?.points.at(-1)?.size ?? null;
  const measured = lives.map((life, i) => measure(life, clocks[i] ?? [], step, size));
  const present = measured.at(-1);
  const level = present?.life.points.at(-1)?.percent;
  if (present === undefined || level === undefined) return undefined;
  const blur = (crossing: Crossing, fall: number): number =>
    (fall * crossing.gap) ** 2 / 12 + (0.05 * step) ** 2 + jitter * jitter;
  const falls = measured.map(({ crossings, scale }) => scaledFall(crossings, scale));
  const rough = roughFall(measured, falls, step);
  if (rough === undefined) return undefined;
  const { noise, freedom } = noiseOf(measured, falls, rough, { step, usual, blur });
  const roundings = roundingsOf(measured, rough, { step, noise, blur, usual });
  const offset = roundings.reduce((sum, share, i) => sum + share * (ROUNDINGS[i] ?? 0), 0) * step;
  const slopes = measured.map((entry) => lifeFall(entry, { step, offset, noise, rough, blur }));
  const before = expected(
    slopes.slice(0, -1).filter((slope) => slope !== undefined),
    rough,
    usual,
  );
  const fall = combined(slopes.at(-1), before, rough);
  const latest = present.crossings.at(-1);
  const last = latest ?? anchorOf(present, 0);
  return {
    fall,
    noise,
    freedom,
    roundings,
    last,
    lastIsStart: latest === undefined,
    lastVariance: last === undefined ? 0 : blur(last, fall.mean),
    level,
    now,
    step,
    jitter,
    steps: measured.reduce((sum, { crossings }) => sum + crossings.length, 0),
    fallen: measured.reduce((sum, { life }) => sum + fallenIn(life), 0),
    earlier: slopes.slice(0, -1).filter((slope) => slope !== undefined).length,
    own: slopes.at(-1),
    before,
  };
}

function measure(life: Life, xs: readonly number[], step: number, size: number | null): Measured {
  const own = life.points.at(-1)?.size ?? null;
  const scale = own === null || size === null || size <= 0 ? 1 : own / size;
  return { life, xs, crossings: crossingsOf(life, xs, step), scale };
}

function fallenIn({ points }: Life): number {
  return (points[0]?.percent ?? 0) - (points.at(-1)?.percent ?? 0);
}

/** Fall in percent of the present cartridge. */
function scaledFall(crossings: readonly Crossing[], scale: number): number | undefined {
  const fall = fallOf(crossings);
  return fall === undefined ? undefined : fall * scale;
}

/** One figure for all lives: what fell in them over what was used in them. */
function roughFall(
  measured: readonly Measured[],
  falls: readonly (number | undefined)[],
  step: number,
): number | undefined {
  let weighted = 0;
  let use = 0;
  measured.forEach(({ crossings }, i) => {
    const fall = falls[i];
    const length = (crossings.at(-1)?.x ?? 0) - (crossings[0]?.x ?? 0);
    if (fall === undefined || length <= 0) return;
    weighted += fall * length;
    use += length;
  });
  if (use > 0) return weighted / use;
  const present = measured.at(-1);
  const crossing = present?.crossings[0];
  const start = present?.xs[0];
  if (present === undefined || crossing === undefined || start === undefined || crossing.x <= start) return undefined;
  return Math.max(0.1, 100 - crossing.y - step / 2) / (crossing.x - start);
}

interface NoiseContext {
  readonly step: number;
  readonly usual: Usual;
  readonly blur: (crossing: Crossing, fall: number) => number;
}

function noiseOf(
  measured: readonly Measured[],
  falls: readonly (number | undefined)[],
  rough: number,
  { step, usual, blur }: NoiseContext,
): { noise: (use: number) => number; freedom: number } {
  const known = measured.flatMap(({ crossings, scale }, i) => {
    const fall = falls[i];
    return fall === undefined ? [] : [{ crossings, fall: fall / scale }];
  });
  const prior = usual.perFall * rough + usual.perFallSquared * rough * rough;
  const shortest = Math.max(usual.stretch, (0.9 * step) / rough, 4 / rough);
  const short = unsteadiness(known, shortest, blur);
  const first = shrunk(prior, short);
  const long = shrunk(first * LONGER, unsteadiness(known, 3 * shortest, blur));
  const noise = (use: number): number => {
    const share = Math.min(1, Math.max(0, (use - shortest) / (2 * shortest)));
    return first + (long - first) * share;
  };
  return { noise, freedom: PRIOR_FREEDOM + short.freedom };
}

function shrunk(prior: number, seen: { squares: number; use: number; freedom: number }): number {
  if (seen.freedom <= 0 || seen.use <= 0) return prior;
  return drawn(prior, PRIOR_STRETCHES, seen.squares / seen.use, seen.freedom);
}

interface RoundingContext extends NoiseContext {
  readonly noise: (use: number) => number;
}

/** A full cartridge starts at 100: where its first step falls tells how the printer rounds. */
function roundingsOf(
  measured: readonly Measured[],
  rough: number,
  { step, noise, blur, usual }: RoundingContext,
): readonly number[] {
  const logs = ROUNDINGS.map((rounding) => {
    let log = 0;
    for (const { life, crossings, xs, scale } of measured) {
      const first = crossings[0];
      const start = xs[0];
      if (!life.fresh || first === undefined || start === undefined) continue;
      const fall = rough / scale;
      const use = first.x - start;
      const spread = noise(use) * use + (usual.betweenLives * fall * use) ** 2 + blur(first, fall) + 0.1;
      const off = 100 - fall * use - (first.y + rounding * step);
      log -= Math.min(12, (off * off) / spread / 2);
    }
    return log;
  });
  const top = Math.max(...logs);
  const shares = logs.map((log) => Math.exp(log - top));
  const sum = shares.reduce((total, share) => total + share, 0);
  return shares.map((share) => share / sum);
}

/** Where a full cartridge began, as if it were a step. */
function anchorOf({ life, xs }: Measured, offset: number): Crossing | undefined {
  const x = xs[0];
  return life.fresh && x !== undefined ? { x, y: 100 - offset, gap: 0 } : undefined;
}

interface SlopeContext {
  readonly step: number;
  readonly offset: number;
  readonly noise: (use: number) => number;
  readonly rough: number;
  readonly blur: (crossing: Crossing, fall: number) => number;
}

/** The fall in one life, in percent of the present cartridge. */
function lifeFall(entry: Measured, { step, offset, noise, rough, blur }: SlopeContext): Belief | undefined {
  const anchor = entry.crossings.length < 5 ? anchorOf(entry, offset) : undefined;
  const points = anchor === undefined ? entry.crossings : [anchor, ...entry.crossings];
  const mean = fallOf(points);
  const first = points[0];
  const last = points.at(-1);
  if (mean === undefined || first === undefined || last === undefined) return undefined;
  const use = last.x - first.x;
  const ends = blur(first, rough) + blur(last, rough) + (anchor === undefined ? 0 : (0.3 * step) ** 2);
  const variance = (1.15 * noise(use)) / use + ends / (use * use);
  return { mean: mean * entry.scale, variance: variance * entry.scale * entry.scale };
}

/** What earlier cartridges let expect of the present one. Undefined without any. */
function expected(earlier: readonly Belief[], rough: number, usual: Usual): Belief | undefined {
  if (earlier.length === 0) return undefined;
  const between = differences(earlier, rough, usual);
  const mean = weighted(earlier.map((slope) => ({ mean: slope.mean, variance: slope.variance + between })));
  return { mean: mean.mean, variance: mean.variance + between };
}

/** The present cartridge's fall: its own, drawn towards that of the earlier ones the more the less is known of it. */
function combined(own: Belief | undefined, before: Belief | undefined, rough: number): Belief {
  if (own === undefined) return before ?? { mean: rough, variance: (0.5 * rough) ** 2 };
  return before === undefined ? own : weighted([before, own]);
}

/** Variance between cartridges, drawn towards the usual. */
function differences(slopes: readonly Belief[], rough: number, usual: Usual): number {
  const prior = (usual.betweenLives * rough) ** 2;
  if (slopes.length < 2) return prior;
  const mean = slopes.reduce((sum, slope) => sum + slope.mean, 0) / slopes.length;
  const squares = slopes.reduce((sum, slope) => sum + (slope.mean - mean) ** 2, 0) / (slopes.length - 1);
  const error = slopes.reduce((sum, slope) => sum + slope.variance, 0) / slopes.length;
  const known = slopes.length - 1;
  return (PRIOR_LIVES * prior + known * Math.max(0, squares - error)) / (PRIOR_LIVES + known);
}

function weighted(beliefs: readonly Belief[]): Belief {
  const sum = beliefs.reduce((total, { variance }) => total + 1 / variance, 0);
  const mean = beliefs.reduce((total, belief) => total + belief.mean / belief.variance, 0) / sum;
  return { mean, variance: 1 / sum };
}
