/** Where one cartridge ends and the next begins. */

import type { SupplyReading } from '../model/history.js';
import { type LevelPoint, levelPoints, stepOf, withoutGlitches } from './levels.js';

/** The readings of one cartridge, levels never rising. */
export interface Life {
  readonly points: readonly LevelPoint[];
  /** True when its first level was seen right after a change, and was full. */
  readonly fresh: boolean;
}

export interface Lives {
  readonly lives: readonly Life[];
  /** Percent. */
  readonly step: number;
  /** How far levels stray beside their steps, percent. */
  readonly jitter: number;
  /** Moments of the first reading of each new cartridge. */
  readonly refills: readonly number[];
}

/** A smaller rise is the printer thinking again. Percent points. */
const LEAST_RISE = 4;
/** Falls over a longer silence may be use. */
const SINK_MS = 1.6 * 86_400_000;

/** Splits a supply's past where a new cartridge came, and where the printer began to count anew. */
export function livesOf(readings: readonly SupplyReading[]): Lives {
  const raw = levelPoints(readings);
  const step = stepOf(raw);
  const points = withoutGlitches(raw, Math.max(step, 2));
  const jitter = jitterOf(points);
  const cuts = cutsOf(points, Math.max(LEAST_RISE, 1.5 * step, 4 * jitter), sinkOf(points, step));
  const lives = cuts.map(({ from, refill }, number) => {
    const own = points.slice(from, cuts[number + 1]?.from);
    return { points: falling(own), fresh: refill && (own[0]?.percent ?? 0) >= 100 - Math.max(step / 4, 1) };
  });
  const refills = cuts.filter(({ refill }) => refill).map(({ from }) => points[from]?.at ?? 0);
  return { lives, step, jitter, refills };
}

interface Cut {
  readonly from: number;
  readonly refill: boolean;
}

function cutsOf(points: readonly LevelPoint[], least: number, sink: number): readonly Cut[] {
  const cuts: Cut[] = [{ from: 0, refill: false }];
  let lowest = points[0];
  points.forEach((point, i) => {
    const before = points[i - 1];
    if (before === undefined || lowest === undefined) return;
    const rose = point.percent - lowest.percent > least && isRise(points, i, lowest.percent + least);
    const sank = before.percent - point.percent > sink && point.at - before.at < SINK_MS;
    if (rose || sank) cuts.push({ from: i, refill: rose && isMore(lowest, point) });
    if (rose || sank || point.percent < lowest.percent) lowest = point;
  });
  return cuts;
}

/** False when only the capacity changed: the share rose, the amount did not. */
function isMore(before: LevelPoint, after: LevelPoint): boolean {
  if (before.size === null || after.size === null || before.size === after.size) return true;
  return after.percent * after.size > before.percent * before.size * 1.02;
}

/** A fall between two looks that no use explains: eight times the usual, and a fifth of the whole. */
function sinkOf(points: readonly LevelPoint[], step: number): number {
  const drops: number[] = [];
  for (let i = 1; i < points.length; i++) {
    const drop = (points[i - 1]?.percent ?? 0) - (points[i]?.percent ?? 0);
    if (drop > 0) drops.push(drop);
  }
  drops.sort((a, b) => a - b);
  return Math.max(20, 2.5 * step, 8 * (drops[Math.floor(drops.length / 2)] ?? 0));
}

/** A rise counts when it is still there at the next readings, as far as there are any. */
function isRise(points: readonly LevelPoint[], from: number, above: number): boolean {
  for (let i = from + 1; i <= from + 2 && i < points.length; i++) if ((points[i]?.percent ?? 0) <= above) return false;
  return true;
}

/** Middle size of the small rises where there are many of them: levels that shake. 0 otherwise. */
function jitterOf(points: readonly LevelPoint[]): number {
  const rises: number[] = [];
  let moves = 0;
  for (let i = 1; i < points.length; i++) {
    const rise = (points[i]?.percent ?? 0) - (points[i - 1]?.percent ?? 0);
    if (rise !== 0) moves += 1;
    if (rise > 0 && rise < 6) rises.push(rise);
  }
  if (rises.length < 3 || rises.length < 0.1 * moves) return 0;
  rises.sort((a, b) => a - b);
  return rises[Math.floor(rises.length / 2)] ?? 0;
}

/**
 * The nearest course that never rises (least squares, pool adjacent violators): a cartridge only empties, so what goes up
 * and down is the printer's own uncertainty.
 */
function falling(points: readonly LevelPoint[]): readonly LevelPoint[] {
  const blocks: { sum: number; count: number }[] = [];
  for (const { percent } of points) {
    let block = { sum: percent, count: 1 };
    for (let last = blocks.at(-1); last !== undefined; last = blocks.at(-1)) {
      if (last.sum / last.count >= block.sum / block.count) break;
      blocks.pop();
      block = { sum: last.sum + block.sum, count: last.count + block.count };
    }
    blocks.push(block);
  }
  let at = 0;
  return blocks.flatMap(({ sum, count }) => {
    const own = points.slice(at, at + count);
    at += count;
    return count === 1 ? own : own.map((point) => ({ ...point, percent: sum / count }));
  });
}
