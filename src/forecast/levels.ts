/** Readings as they come → percent left over time: special values out, one scale, glitches out, the printer's step found. */
import type { SupplyReading } from '../model/history.js';
import { inBaseUnit } from './units.js';

/** One measured level. */
export interface LevelPoint {
  /** Milliseconds since 1970. */
  readonly at: number;
  /** 0 to 100, not rounded: what remains, or in a receptacle the space that remains. */
  readonly percent: number;
  /** Capacity in its base unit, to set lives of unlike cartridges against each other; null when nobody knows. */
  readonly size: number | null;
  readonly pages: number | null;
}

/** Steps in which printers are known to count, coarsest first (common practice, no published source). */
const STEPS: readonly number[] = [50, 100 / 3, 25, 20, 12.5, 10, 5, 4, 2, 1, 0.5];
/** A few readings may lie beside the steps: a board that has just started says anything. */
const SHARE_ON_STEPS = 0.93;
/** A level that is back after at most so many readings and so long was never really gone. */
const GLITCH_READINGS = 3;
const GLITCH_MS = 4.6 * 86_400_000;

/**
 * Measured levels among the readings, oldest first. Where the capacity is unknown (-2), unlimited (-1), 0 or absent, the
 * highest level ever seen stands for it, unless the unit is a percentage by itself.
 */
export function levelPoints(readings: readonly SupplyReading[]): readonly LevelPoint[] {
  let highest = 0;
  for (const { level } of readings) highest = Math.max(highest, level);
  return readings.flatMap(({ at, level, capacity, unit, pages }) => {
    if (level < 0) return [];
    const known = capacity !== null && capacity > 0;
    const whole = known ? capacity : unit === 'percent' && highest <= 100 ? 100 : highest;
    if (whole <= 0) return [];
    const size = known && unit !== 'percent' ? (inBaseUnit(capacity, unit)?.amount ?? null) : null;
    return [{ at, percent: Math.min(100, (level / whole) * 100), size, pages }];
  });
}

/**
 * The step in percent in which the printer counts: the coarsest that nearly all levels are multiples of. With fewer than
 * two levels nothing is known, and the finest is taken.
 */
export function stepOf(points: readonly LevelPoint[]): number {
  const counts = new Map<number, number>();
  for (const { percent } of points) {
    const key = Math.round(percent * 100) / 100;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  if (counts.size < 2) return 1;
  for (const step of STEPS) {
    let on = 0;
    for (const [percent, count] of counts) {
      const off = Math.abs(percent / step - Math.round(percent / step)) * step;
      if (off <= Math.min(0.5, step / 8)) on += count;
    }
    if (on >= SHARE_ON_STEPS * points.length) return step;
  }
  return 0.5;
}

/**
 * Takes out levels that leave and come back within a few readings: what a board says after a restart, and the flicker
 * between two steps. `reach` is how far a level may stray without being looked at.
 */
export function withoutGlitches(points: readonly LevelPoint[], reach: number): readonly LevelPoint[] {
  const kept: LevelPoint[] = [];
  for (let i = 0; i < points.length; i++) {
    const here = points[i];
    const before = kept.at(-1);
    if (here === undefined) continue;
    const skip = before === undefined ? 0 : glitchLength(points, i, before, reach);
    if (skip === 0) kept.push(here);
    else i += skip - 1;
  }
  return kept;
}

function glitchLength(points: readonly LevelPoint[], from: number, before: LevelPoint, reach: number): number {
  const first = points[from]?.percent ?? 0;
  const rose = first > before.percent + reach / 4;
  if (!rose && first >= before.percent - 0.9 * reach) return 0;
  for (let length = 1; length <= GLITCH_READINGS; length++) {
    const after = points[from + length];
    if (after === undefined || after.at - before.at > GLITCH_MS) return 0;
    if (rose ? after.percent <= before.percent : isBack(before.percent, first, after.percent, reach)) return length;
  }
  return 0;
}

/** A dip is over when most of it is made up, and no more than that: a new cartridge stands higher than the old one did. */
function isBack(before: number, dip: number, after: number, reach: number): boolean {
  if (after > before + reach / 4) return false;
  return before - after <= 0.4 * (before - dip);
}
