/** Forecasts of made-up lives beside what became of them, and beside two naive ways. */
import { linearRegression } from 'simple-statistics';
import { calendarOf } from '../../src/forecast/calendar.js';
import { estimate } from '../../src/forecast/estimate.js';
import { livesOf } from '../../src/forecast/lives.js';
import type { SupplyReading } from '../../src/model/history.js';
import { type Climate, type Life, simulateLife } from './lives.js';

const DAY = 86_400_000;
const calendar = calendarOf('UTC');

export interface Horizon {
  readonly ahead: number;
  readonly asked: number;
  /** Forecasts refused for want of history. */
  readonly refused: number;
  /** Share of truths inside the 90 % interval, below it and above it. */
  readonly covered: number;
  readonly before: number;
  readonly after: number;
  /** Middle absolute error in days: ours, the last two points, least squares since the last change. */
  readonly error: number;
  readonly lastTwo: number;
  readonly leastSquares: number;
  readonly width: number;
}

export interface One {
  seed: number;
  ahead: number;
  step: number;
  counted: boolean;
  low: number;
  high: number;
  median: number;
  two: number;
  squares: number;
  earlier: number;
  steps: number;
  jitter: number;
}

export function trial(
  seeds: readonly number[],
  aheads: readonly number[] = [30, 14, 7],
  climate: Climate = 'mixed',
): { horizons: readonly Horizon[]; ones: One[] } {
  const lives = seeds.map((seed) => simulateLife(seed, climate));
  const all: One[] = [];
  const horizons = aheads.map((ahead) => {
    let refused = 0;
    const ones: One[] = [];
    lives.forEach((life, i) => {
      const now = life.emptyAt - ahead * DAY;
      if (now - life.startedAt < 3 * DAY) return;
      const readings = life.history.readings.filter(({ at }) => at <= now);
      const made = estimate(readings, now, calendar);
      if (made === undefined || made.fit.steps < 2) {
        refused += 1;
        return;
      }
      ones.push({
        seed: seeds[i] ?? 0,
        ahead,
        step: life.step,
        counted: life.counted,
        low: made.daysUntil(0.05),
        median: made.daysUntil(0.5),
        high: made.daysUntil(0.95),
        ...naive(readings, life, now),
        earlier: made.fit.earlier,
        steps: made.fit.steps,
        jitter: made.fit.jitter,
      });
    });
    all.push(...ones);
    return horizonOf(ahead, ones, refused);
  });
  return { horizons, ones: all };
}

export function horizonOf(ahead: number, ones: readonly One[], refused: number): Horizon {
  const share = (test: (one: One) => boolean): number => ones.filter(test).length / Math.max(1, ones.length);
  return {
    ahead,
    asked: ones.length,
    refused,
    covered: share((o) => o.low <= ahead && ahead <= o.high),
    before: share((o) => ahead < o.low),
    after: share((o) => ahead > o.high),
    error: middle(ones.map((o) => Math.abs(o.median - ahead))),
    lastTwo: middle(ones.map((o) => Math.abs(o.two - ahead))),
    leastSquares: middle(ones.map((o) => Math.abs(o.squares - ahead))),
    width: middle(ones.map((o) => o.high - o.low)),
  };
}

export function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

/** What a spreadsheet would do with the percentages of the present cartridge, told when it came. */
function naive(readings: readonly SupplyReading[], life: Life, now: number): { two: number; squares: number } {
  const own = readings
    .filter(({ at, level }) => at >= life.startedAt && level >= 0)
    .map(({ at, level, capacity }) => [(at - now) / DAY, (level / (capacity ?? 1)) * 100] as [number, number]);
  const last = own.at(-1) ?? [0, 0];
  // The last two points that differ: with equal ones nothing ever runs out.
  const before = own.findLast(([, level]) => level > last[1]);
  const two = before === undefined ? 1095 : last[0] + (last[1] * (last[0] - before[0])) / (before[1] - last[1]);
  const { m, b } = linearRegression(own);
  const squares = m < 0 ? -b / m : 1095;
  return { two: Math.min(1095, Math.max(0, two)), squares: Math.min(1095, Math.max(0, squares)) };
}

export function refillsFound(seeds: readonly number[]): {
  precision: number;
  recall: number;
  found: number;
  real: number;
} {
  let hits = 0;
  let found = 0;
  let real = 0;
  for (const seed of seeds) {
    const life = simulateLife(seed);
    const seen = livesOf(life.history.readings).refills;
    found += seen.length;
    real += life.refills.length;
    const left = [...seen];
    for (const refill of life.refills) {
      const at = left.findIndex((moment) => Math.abs(moment - refill) <= 4 * DAY);
      if (at >= 0) {
        hits += 1;
        left.splice(at, 1);
      }
    }
  }
  return { precision: hits / found, recall: hits / real, found, real };
}
