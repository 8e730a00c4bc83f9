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

/** A calendar of one time zone. Offsets are looked up once a day: a site's history has many readings in each. */
export function calendarOf(timezone = 'UTC'): Calendar {
  const offsets = new Map<number, number>();
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
  const offsetAt = (at: number): number => {
    if (timezone === 'UTC') return 0;
    const utcDay = Math.floor(at / DAY);
    const known = offsets.get(utcDay);
    if (known !== undefined) return known;
    const noon = utcDay * DAY + DAY / 2;
    const parts = Object.fromEntries(format.formatToParts(noon).map(({ type, value }) => [type, Number(value)]));
    const local = Date.UTC(
      parts.year ?? 1970,
      (parts.month ?? 1) - 1,
      parts.day ?? 1,
      parts.hour ?? 0,
      parts.minute ?? 0,
      parts.second ?? 0,
    );
    offsets.set(utcDay, local - noon);
    return local - noon;
  };
  return {
    dayOf(at) {
      const local = (at + offsetAt(at)) / DAY;
      const day = Math.floor(local);
      return { day, passed: local - day };
    },
    momentOf(day) {
      const guess = day * DAY;
      return guess - offsetAt(guess - offsetAt(guess));
    },
    dateOf(at) {
      return new Date(at + offsetAt(at)).toISOString().slice(0, 10);
    },
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
