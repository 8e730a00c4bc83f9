/** Local days, and a clock that runs as fast as the printer is used: quick on working days, slow at the weekend. */

const HOUR = 3_600_000;
export const DAY = 24 * HOUR;

/** Share of a day's use that lies before a share of the day has passed: nine tenths fall between 07:00 and 19:00. */
const DAY_SHARES: readonly (readonly [number, number])[] = [
  [0, 0],
  [7 / 24, 0.05],
  [19 / 24, 0.95],
  [1, 1],
];

export interface Calendar {
  /** Number of the local day and how much of it has passed, 0 to 1. Day 0 was a Thursday. */
  dayOf(at: number): { readonly day: number; readonly passed: number };
  /** Milliseconds since 1970 at a local day number with a fraction. */
  momentOf(day: number): number;
  /** `2026-03-23`: the local date. */
  dateOf(at: number): string;
}

/** A calendar of one time zone. */
export function calendarOf(timezone = 'UTC'): Calendar {
  const offsetAt = offsetsOf(timezone);
  return {
    dayOf(at) {
      const local = (at + offsetAt(at)) / DAY;
      const day = Math.floor(local);
      return { day, passed: local - day };
    },
    momentOf(day) {
      const local = day * DAY;
      // No zone changes its clocks twice within two days.
      const [before, after] = [offsetAt(local - DAY), offsetAt(local + DAY)];
      // Of an hour that comes twice the first is meant, and of one that is left out the moment when the clocks go on.
      return offsetAt(local - before) !== before && offsetAt(local - after) === after ? local - after : local - before;
    },
    dateOf(at) {
      return new Date(at + offsetAt(at)).toISOString().slice(0, 10);
    },
  };
}

/** Offsets from UTC within one UTC day, milliseconds. */
interface DayOffsets {
  readonly before: number;
  readonly after: number;
  /** The moment when `after` begins to hold. */
  readonly change: number;
}

/**
 * The offset from UTC at any moment. It is looked up where UTC days meet: a site's history has many readings in each. Where
 * both ends of a day differ the clocks were changed in between, and the moment is searched for once.
 */
function offsetsOf(timezone: string): (at: number) => number {
  if (timezone === 'UTC') return () => 0;
  const lookUp = offsetReader(timezone);
  const starts = new Map<number, number>();
  const startOf = (utcDay: number): number => {
    const offset = starts.get(utcDay) ?? lookUp(utcDay * DAY);
    starts.set(utcDay, offset);
    return offset;
  };
  const days = new Map<number, DayOffsets>();
  return (at) => {
    const utcDay = Math.floor(at / DAY);
    let known = days.get(utcDay);
    if (known === undefined) {
      const [before, after] = [startOf(utcDay), startOf(utcDay + 1)];
      known = { before, after, change: before === after ? 0 : changeWithin(utcDay * DAY, before, lookUp) };
      days.set(utcDay, known);
    }
    return at < known.change ? known.before : known.after;
  };
}

/** The first moment of the day from `start` on at which the offset is another than before. */
function changeWithin(start: number, before: number, lookUp: (at: number) => number): number {
  let low = start;
  let high = start + DAY;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (lookUp(middle) === before) low = middle;
    else high = middle;
  }
  return high;
}

function offsetReader(timezone: string): (at: number) => number {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: timezone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  });
  return (at) => {
    const parts = Object.fromEntries(format.formatToParts(at).map(({ type, value }) => [type, Number(value)]));
    const { year = 1970, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = parts;
    return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(at / 1000) * 1000;
  };
}

/** Day of the week of a day number, 0 = Monday. */
export function weekdayOf(day: number): number {
  return (((day + 3) % 7) + 7) % 7;
}

/** Share of a day's use that is over when `passed` (0 to 1) of the day is. */
export function shareUsed(passed: number): number {
  for (let i = 1; i < DAY_SHARES.length; i++) {
    const [x1, y1] = DAY_SHARES[i] ?? [1, 1];
    const [x0, y0] = DAY_SHARES[i - 1] ?? [0, 0];
    if (passed <= x1) return y0 + ((passed - x0) / (x1 - x0)) * (y1 - y0);
  }
  return 1;
}

/** Use of each day of the week, Monday first, 7 in sum: an average day is 1. */
export type WeekWeights = readonly number[];

/** Use between day 0 and a moment, in average days: grows by 7 a week. */
export function usedBy(weights: WeekWeights, day: number, passed: number): number {
  const weeks = Math.floor((day + 3) / 7);
  let used = weeks * 7;
  const weekday = weekdayOf(day);
  for (let i = 0; i < weekday; i++) used += weights[i] ?? 0;
  return used + (weights[weekday] ?? 0) * shareUsed(passed);
}
