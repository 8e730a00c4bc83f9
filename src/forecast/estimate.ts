/** The past of one supply up to a moment → when it is empty, with what certainty. Pure; the same past gives the same answer. */

import type { SupplyReading } from '../model/history.js';
import { FARTHEST_DAYS } from '../model/supplies.js';
import { type Calendar, DAY, type WeekWeights } from './calendar.js';
import { pagesSince } from './counter.js';
import { type Fit, fitLives, type Usual } from './fit.js';
import { type Lives, livesOf } from './lives.js';
import { normalQuantile } from './normal.js';
import { casesOf, emptyWithin, timeUntil } from './until-empty.js';
import { byDay, type Pace, paceOf, type Use, usedBetween, weekWeights } from './week.js';

export interface Estimated {
  readonly lives: Lives;
  readonly fit: Fit;
  /** The page counter's pace; undefined where days are counted instead. */
  readonly pace: Pace | undefined;
  readonly weights: WeekWeights;
  /** Days from now until the supply is empty with a probability. */
  readonly daysUntil: (probability: number) => number;
  /** Pages until then; undefined without a counter. */
  readonly pagesUntil: ((probability: number) => number) | undefined;
  /** Percent an average day, at most with a probability. */
  readonly perDay: (probability: number) => number;
}

/** By pages a cartridge falls steadily; by days people come in between. */
const BY_PAGES: Usual = { betweenLives: 0.1, perFall: 0.1, perFallSquared: 0, stretch: 0 };
const BY_DAYS: Usual = { betweenLives: 0.2, perFall: 0, perFallSquared: 0.8, stretch: 7 };

/** Undefined when not even one step was seen. `readings` reach up to `now`, oldest first. */
export function estimate(readings: readonly SupplyReading[], now: number, calendar: Calendar): Estimated | undefined {
  const lives = livesOf(readings);
  const last = lives.lives.at(-1)?.points.at(-1);
  if (last === undefined) return undefined;
  const moment: Moment = { lives, calendar, now, lastAt: last.at };
  return byCounter(readings, moment) ?? byCalendar(moment);
}

interface Moment {
  readonly lives: Lives;
  readonly calendar: Calendar;
  readonly now: number;
  /** When the level was last seen: what is used since then belongs to the future too. */
  readonly lastAt: number;
}

function byCounter(readings: readonly SupplyReading[], moment: Moment): Estimated | undefined {
  const { lives, calendar, lastAt } = moment;
  const sums = pagesSince(readings);
  if (sums === null) return undefined;
  const days = byDay(counterUses(readings, sums), calendar);
  const weights = weekWeights(days, 1);
  const pace = paceOf(days, weights);
  if (pace === undefined) return undefined;
  const clock = clockOf(readings, sums);
  const clocks = lives.lives.map((life) => life.points.map(({ at }) => clock(at)));
  const found = fitLives(lives, clocks, clock(lastAt), BY_PAGES);
  return found === undefined ? undefined : answer(moment, { fit: found, pace, weights });
}

function byCalendar(moment: Moment): Estimated | undefined {
  const { lives, calendar, lastAt } = moment;
  const weights = weekWeights(byDay(levelUses(lives), calendar), lives.step);
  const start = lives.lives[0]?.points[0]?.at ?? lastAt;
  const clock = (at: number): number => usedBetween(weights, calendar, start, at);
  const clocks = lives.lives.map((life) => life.points.map(({ at }) => clock(at)));
  const found = fitLives(lives, clocks, clock(lastAt), BY_DAYS);
  return found === undefined ? undefined : answer(moment, { fit: found, pace: undefined, weights });
}

type Found = Pick<Estimated, 'fit' | 'pace' | 'weights'>;

function answer({ lives, calendar, now, lastAt }: Moment, found: Found): Estimated {
  const { fit: model, pace, weights } = found;
  const cases = casesOf(model);
  const coming = (days: number): { mean: number; variance: number } => {
    const load = Math.max(0, usedBetween(weights, calendar, lastAt, now + days * DAY));
    if (pace === undefined) return { mean: load, variance: 0 };
    return { mean: pace.perDay * load, variance: load * load * pace.variance + pace.spread(load) * load };
  };
  const within = (days: number): number => emptyWithin(cases, model, coming, days);
  const byPages = (pages: number): number => emptyWithin(cases, model, (mean) => ({ mean, variance: 0 }), pages);
  const rate = pace?.perDay ?? 1;
  const { mean, variance } = model.fall;
  const rateSpread = Math.sqrt(variance * rate * rate + mean * mean * (pace?.variance ?? 0));
  return {
    ...found,
    lives,
    daysUntil: (probability) => timeUntil(probability, within, FARTHEST_DAYS),
    pagesUntil: pace === undefined ? undefined : (probability) => timeUntil(probability, byPages, 1e9),
    perDay: (probability) => Math.max(0, mean * rate + normalQuantile(probability) * rateSpread),
  };
}

function counterUses(readings: readonly SupplyReading[], sums: readonly number[]): readonly Use[] {
  const uses: Use[] = [];
  for (let i = 1; i < readings.length; i++) {
    const [a, b] = [readings[i - 1], readings[i]];
    if (a === undefined || b === undefined) continue;
    uses.push({ from: a.at, to: b.at, amount: (sums[i] ?? 0) - (sums[i - 1] ?? 0) });
  }
  return uses;
}

function levelUses({ lives }: Lives): readonly Use[] {
  return lives.flatMap(({ points }) =>
    points.slice(1).map((b, i) => {
      const a = points[i] ?? b;
      return { from: a.at, to: b.at, amount: a.percent - b.percent };
    }),
  );
}

/** Pages at any moment between the looks. */
function clockOf(readings: readonly SupplyReading[], sums: readonly number[]): (at: number) => number {
  return (at) => {
    let low = 0;
    let high = readings.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((readings[middle]?.at ?? 0) <= at) low = middle;
      else high = middle - 1;
    }
    return sums[low] ?? 0;
  };
}
