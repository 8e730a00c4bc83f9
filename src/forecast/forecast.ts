/** Forecasts as they go into `outfeed.supplies/1`. */
import type { Cartridge } from '../model/cartridge.js';
import type { SupplyHistory, SupplyReading } from '../model/history.js';
import type { Estimate, Forecast } from '../model/supplies.js';
import { type Calendar, DAY } from './calendar.js';
import { type Estimated, estimate } from './estimate.js';
import { notesOf } from './notes.js';
import { stateNow } from './state.js';
import { yieldOf } from './yield.js';

export interface ForecastOptions {
  /** The moment that is asked about, milliseconds since 1970: later readings are not looked at. */
  readonly asOf: number;
  /** Probability of the interval, above 0 and below 1. */
  readonly interval: number;
  readonly calendar: Calendar;
  /** What the user's model file says of this supply. */
  readonly cartridge?: Cartridge;
  readonly currency?: string;
}

/** A forecast, and what ordering needs beyond the document. */
export interface Foreseen {
  readonly forecast: Forecast;
  /** Days until the supply is empty with a probability; undefined without enough history. */
  readonly daysUntil: ((probability: number) => number) | undefined;
}

/** A forecast needs two steps, and to have seen the supply fall by so much, percent, over so long. */
const LEAST_STEPS = 2;
const LEAST_FALL = 2;
const LEAST_DAYS = 5;

/** What one supply's past says of its future. The same past and options give the same answer. */
export function foresee(history: SupplyHistory, options: ForecastOptions): Foreseen {
  const readings = history.readings.filter(({ at }) => at <= options.asOf);
  const made = estimate(readings, options.asOf, options.calendar);
  const lacking = whatIsLacking(readings, made);
  const now = stateNow(history, readings.at(-1));
  const plain = { printer: history.printer, supply: named(history), ...now };
  const refills = (made?.lives.refills ?? []).map((at) => options.calendar.dateOf(at));
  if (made === undefined || lacking !== undefined) {
    const nothing = { perDay: null, daysLeft: null, emptyAt: null, pagesLeft: null };
    const forecast = {
      ...plain,
      enough: false,
      because: lacking ?? NOTHING,
      ...nothing,
      refills,
      yield: null,
      notes: [],
    };
    return { forecast, daysUntil: undefined };
  }
  const own = yieldOf(made, history.supply.type, options.cartridge, options.currency);
  const forecast: Forecast = {
    ...plain,
    enough: true,
    because: basis(made, options.calendar),
    ...estimates(made, options),
    refills,
    yield: own,
    notes: notesOf({ history, made, yields: own, asOf: options.asOf, level: now.percent }),
  };
  return { forecast, daysUntil: made.daysUntil };
}

const NOTHING = 'not enough history yet: no level has been measured';

function named({ supply: { index, name, type, colour } }: SupplyHistory): Forecast['supply'] {
  return { index, name, type, colour };
}

/** The sentence for a past that does not carry a forecast; undefined when it does. */
function whatIsLacking(readings: readonly SupplyReading[], made: Estimated | undefined): string | undefined {
  const first = readings[0];
  const last = readings.at(-1);
  if (first === undefined || last === undefined) return 'not enough history yet: no reading';
  if (!readings.some(({ level }) => level >= 0)) {
    const some = readings.some(({ level }) => level === -3);
    return `the printer gives no level${some ? ', only that some is left' : ''}: a forecast can't be made`;
  }
  const days = (last.at - first.at) / DAY;
  if (readings.length === 1) return 'not enough history yet: one reading, a forecast needs some days of them';
  if (Math.round(days) === 0) {
    return `not enough history yet: ${readings.length} readings of one day, a forecast needs some days of them`;
  }
  if (made === undefined || made.fit.steps < LEAST_STEPS) {
    return `not enough history yet: ${fallsInWords(made?.fit.steps ?? fallsOf(readings))} in ${wholeDays(days)}`;
  }
  if (days < LEAST_DAYS)
    return `not enough history yet: ${wholeDays(days)} of readings, a forecast needs ${LEAST_DAYS}`;
  if (made.fit.fallen < LEAST_FALL) {
    return `not enough history yet: the level fell by ${made.fit.fallen.toFixed(1)} % in ${wholeDays(days)}, too little to tell`;
  }
  return undefined;
}

/** Falls from one measured level to the next: what is left to tell where even the pace of the fall can't be. */
function fallsOf(readings: readonly SupplyReading[]): number {
  const levels = readings.map(({ level }) => level).filter((level) => level >= 0);
  return levels.filter((level, i) => level < (levels[i - 1] ?? 0)).length;
}

function fallsInWords(falls: number): string {
  if (falls === 0) return 'the level has not fallen yet';
  return falls === 1 ? 'the level has fallen once' : 'the level of no cartridge has fallen twice';
}

function wholeDays(days: number): string {
  const whole = Math.max(0, Math.round(days));
  return whole === 1 ? '1 day' : `${whole} days`;
}

function basis({ fit, lives, pace }: Estimated, calendar: Calendar): string {
  const start = lives.lives.at(-1)?.points[0]?.at ?? 0;
  const own = `this one since ${calendar.dateOf(start)}`;
  const earlier =
    fit.earlier === 0 ? '' : fit.earlier === 1 ? ' and an earlier one' : ` and ${fit.earlier} earlier ones`;
  const against = pace === undefined ? 'the rhythm of the week' : 'the page counter';
  return `${own}${earlier}, measured against ${against}`;
}

function estimates(
  made: Estimated,
  { interval, asOf, calendar }: ForecastOptions,
): Pick<Forecast, 'perDay' | 'daysLeft' | 'emptyAt' | 'pagesLeft'> {
  const tail = (1 - interval) / 2;
  const ends: Estimate<number> = { median: 0.5, low: tail, high: 1 - tail };
  const days = mapped(ends, made.daysUntil);
  const perDay = mapped({ median: 0.5, low: tail, high: 1 - tail }, made.perDay);
  const { pagesUntil } = made;
  return {
    perDay: mapped(perDay, (rate) => rounded(rate, 3)),
    daysLeft: mapped(days, (count) => rounded(count, 1)),
    emptyAt: mapped(days, (count) => calendar.dateOf(asOf + count * DAY)),
    pagesLeft: pagesUntil === undefined ? null : mapped(mapped(ends, pagesUntil), (pages) => Math.round(pages)),
  };
}

function mapped<A, B>({ median, low, high }: Estimate<A>, of: (value: A) => B): Estimate<B> {
  return { median: of(median), low: of(low), high: of(high) };
}

function rounded(value: number, places: number): number {
  return Number(value.toFixed(places));
}
