/** How fast a level falls with use, and how unsteadily. */
import type { Life } from './lives.js';
import { evennessOf } from './week.js';

/** A moment at which the printer went to a lower step: there the true level is known, but for the way it rounds. */
export interface Crossing {
  /** On the clock of use: pages, or average days. */
  readonly x: number;
  /** Middle of the two levels, less half a step: where a printer that rounds up stands. Percent. */
  readonly y: number;
  /** Use between the two looks around it. */
  readonly gap: number;
}

/** One plateau after the other: the points where a life passes from one level to the next. `xs` are the points' clocks. */
export function crossingsOf(life: Life, xs: readonly number[], step: number): readonly Crossing[] {
  const out: Crossing[] = [];
  const { points } = life;
  for (let i = 1; i < points.length; i++) {
    const before = points[i - 1]?.percent ?? 0;
    const after = points[i]?.percent ?? 0;
    if (before - after < 1e-6) continue;
    const [x0 = 0, x1 = 0] = [xs[i - 1], xs[i]];
    out.push({ x: (x0 + x1) / 2, y: (before + after - step) / 2, gap: x1 - x0 });
  }
  return out;
}

/** More pairs than this add nothing to the middle of their slopes. */
const MOST_POINTS = 48;

/**
 * Fall per unit of use by Theil and Sen: the middle of the slopes of all pairs, so that a few wrong points don't count
 * (Sen 1968). Made here because the packaged one takes the lower of the two middle slopes for the median of an even number.
 * Undefined with fewer than two points or without a fall.
 */
export function fallOf(points: readonly Pick<Crossing, 'x' | 'y'>[]): number | undefined {
  const kept = thinned(points);
  const slopes = new Float64Array((kept.length * (kept.length - 1)) / 2);
  let count = 0;
  for (const [i, a] of kept.entries()) {
    for (let j = i + 1; j < kept.length; j++) {
      const b = kept[j] ?? a;
      if (a.x !== b.x) slopes[count++] = (b.y - a.y) / (b.x - a.x);
    }
  }
  if (count === 0) return undefined;
  const sorted = slopes.subarray(0, count).sort();
  const slope = ((sorted[(count - 1) >> 1] ?? 0) + (sorted[count >> 1] ?? 0)) / 2;
  return slope < 0 ? -slope : undefined;
}

function thinned<T>(points: readonly T[]): readonly T[] {
  if (points.length <= MOST_POINTS) return points;
  return Array.from({ length: MOST_POINTS }, (_, i) => {
    return points[Math.round((i * (points.length - 1)) / (MOST_POINTS - 1))] as T;
  });
}

/** Squares of what a straight fall leaves unexplained, over stretches of use. */
export interface Unsteadiness {
  /** Sum of squares, percent². */
  readonly squares: number;
  /** Sum of use. */
  readonly use: number;
  /** Stretches less the slopes that were fitted to them. */
  readonly freedom: number;
}

/** Over stretches of at least `length` of use between crossings. `blur` is the variance of one crossing's place. */
export function unsteadiness(
  lives: readonly { readonly crossings: readonly Crossing[]; readonly fall: number }[],
  length: number,
  blur: (crossing: Crossing, fall: number) => number,
): Unsteadiness {
  let squares = 0;
  let use = 0;
  let freedom = 0;
  let fourth = 0;
  let second = 0;
  let count = 0;
  for (const { crossings, fall } of lives) {
    let from = crossings[0];
    let stretches = 0;
    let sum = 0;
    let length0 = 0;
    for (const to of crossings) {
      if (from === undefined || to.x - from.x < length) continue;
      const rest = from.y - to.y - fall * (to.x - from.x);
      const share = (rest * rest) / (to.x - from.x);
      second += share;
      fourth += share * share;
      count += 1;
      sum += rest * rest - blur(from, fall) - blur(to, fall);
      length0 += to.x - from.x;
      stretches += 1;
      from = to;
    }
    if (stretches < 2) continue;
    squares += (Math.max(0, sum) * stretches) / (stretches - 1);
    use += length0;
    freedom += stretches - 1;
  }
  return { squares, use, freedom: freedom * evennessOf(fourth, second, count) };
}
