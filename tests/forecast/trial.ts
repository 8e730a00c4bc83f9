/** Forecasts of made-up lives beside what became of them, and beside two naive ways. */
import { linearRegression } from 'simple-statistics';
import { calendarOf } from '../../src/forecast/calendar.js';
import { foresee } from '../../src/forecast/forecast.js';
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
  readonly informed: number;
  readonly width: number;
}

/** One forecast and its truth: it was made so many days ahead. */
export interface One {
  readonly seed: number;
  readonly ahead: number;
  readonly step: number;
  readonly counted: boolean;
  readonly earlier: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
  readonly lastTwo: number;
  readonly leastSquares: number;
  /** What somebody would say who knows the true level and the true pace so far: less can hardly be had. */
  readonly informed: number;
}

export interface Trial {
  readonly horizons: readonly Horizon[];
  readonly ones: readonly One[];
}

/** Cuts each life so many days before its end, and forecasts from what was seen by then. Younger than three days: not asked. */
export function trial(
  seeds: readonly number[],
  aheads: readonly number[] = [30, 14, 7],
  climate: Climate = 'mixed',
): Trial {
  const lives = seeds.map((seed) => ({ seed, life: simulateLife(seed, climate) }));
  const asked = aheads.map((ahead) => {
    const old = lives.filter(({ life }) => life.emptyAt - life.startedAt >= (ahead + 3) * DAY);
    const ones = old.map(({ seed, life }) => oneOf(seed, life, ahead)).filter((one) => one !== undefined);
    return { ahead, ones, refused: old.length - ones.length };
  });
  return {
    horizons: asked.map(({ ahead, ones, refused }) => horizonOf(ahead, ones, refused)),
    ones: asked.flatMap(({ ones }) => ones),
  };
}

function oneOf(seed: number, life: Life, ahead: number): One | undefined {
  const now = life.emptyAt - ahead * DAY;
  const { forecast } = foresee(life.history, { asOf: now, interval: 0.9, calendar });
  if (forecast.daysLeft === null) return undefined;
  const readings = life.history.readings.filter(({ at }) => at <= now);
  const earlier = life.refills.length;
  return {
    seed,
    ahead,
    step: life.step,
    counted: life.counted,
    earlier,
    ...forecast.daysLeft,
    ...naive(readings, life, now),
    informed: informed(life, now),
  };
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
    lastTwo: middle(ones.map((o) => Math.abs(o.lastTwo - ahead))),
    leastSquares: middle(ones.map((o) => Math.abs(o.leastSquares - ahead))),
    informed: middle(ones.map((o) => Math.abs(o.informed - ahead))),
    width: middle(ones.map((o) => o.high - o.low)),
  };
}

export function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

/** True percent left, over all that was truly used by then and the time that took. */
function informed({ truth }: Life, now: number): number {
  const seen = truth.filter(({ at }) => at <= now);
  let used = 0;
  seen.forEach(({ percent }, i) => {
    used += Math.max(0, (seen[i - 1]?.percent ?? percent) - percent);
  });
  const days = (now - (seen[0]?.at ?? now)) / DAY;
  return used > 0 ? Math.min(1095, ((seen.at(-1)?.percent ?? 0) * days) / used) : 1095;
}

/** What a spreadsheet would do with the percentages of the present cartridge, told when it came. Never beyond three years. */
function naive(readings: readonly SupplyReading[], life: Life, now: number): Pick<One, 'lastTwo' | 'leastSquares'> {
  const own = readings
    .filter(({ at, level }) => at >= life.startedAt && level >= 0)
    .map(({ at, level, capacity }) => [(at - now) / DAY, (level / (capacity ?? 1)) * 100] as [number, number]);
  const [lastAt, last] = own.at(-1) ?? [0, 0];
  // The last two that differ: from equal ones nothing would ever run out.
  const [beforeAt, before] = own.findLast(([, level]) => level > last) ?? [0, last];
  const { m, b } = linearRegression(own);
  const bounded = (days: number): number => Math.min(1095, Math.max(0, days));
  return {
    lastTwo: before > last ? bounded(lastAt + (last * (lastAt - beforeAt)) / (before - last)) : 1095,
    leastSquares: m < 0 ? bounded(-b / m) : 1095,
  };
}

export interface RefillScore {
  readonly precision: number;
  readonly recall: number;
  readonly found: number;
  readonly real: number;
}

/** A refill counts as found when a change was seen at most so many days from it: printers are not read every day. */
const REFILL_DAYS = 4;

export function refillsFound(seeds: readonly number[]): RefillScore {
  let hits = 0;
  let found = 0;
  let real = 0;
  for (const seed of seeds) {
    const { history, refills } = simulateLife(seed);
    const left = [...livesOf(history.readings).refills];
    found += left.length;
    real += refills.length;
    for (const refill of refills) {
      const at = left.findIndex((moment) => Math.abs(moment - refill) <= REFILL_DAYS * DAY);
      if (at < 0) continue;
      hits += 1;
      left.splice(at, 1);
    }
  }
  return { precision: hits / found, recall: hits / real, found, real };
}
