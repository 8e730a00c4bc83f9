import { type HoursSpan, readClockSpan, readOfficeHours } from '../config/hours.js';

const MINUTE = 60_000;
const WEEKDAYS: Readonly<Record<string, number>> = { Mon: 1, Tue: 2, Wed: 3, Thu: 4, Fri: 5, Sat: 6, Sun: 7 };

/** The clock on the site's wall. */
export interface WallClock {
  /** Day of the week, 1 = Monday, and minutes since midnight. */
  readonly at: (time: number) => { readonly day: number; readonly minutes: number };
}

/** The clock of a time zone, by the system's own tables; without one, of this machine. */
export function wallClock(timezone: string | undefined): WallClock {
  const format = new Intl.DateTimeFormat('en-GB', {
    ...(timezone === undefined ? {} : { timeZone: timezone }),
    weekday: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  return {
    at: (time) => {
      const parts = Object.fromEntries(format.formatToParts(time).map(({ type, value }) => [type, value]));
      return { day: WEEKDAYS[parts.weekday ?? ''] ?? 1, minutes: Number(parts.hour) * 60 + Number(parts.minute) };
    },
  };
}

/** Whether somebody is there at a time. Without office hours somebody always is. */
export function officeIsOpen(clock: WallClock, hours: string | undefined, time: number): boolean {
  const spans = hours === undefined ? undefined : readOfficeHours(hours);
  return spans === undefined || within(clock, spans, time);
}

function within(clock: WallClock, spans: readonly HoursSpan[], time: number): boolean {
  const { day, minutes } = clock.at(time);
  return spans.some(({ days, from, to }) => days.includes(day) && minutes >= from && minutes < to);
}

/** The time from which on somebody may be told: now, or the end of the quiet hours that it falls into. */
export function endOfQuiet(clock: WallClock, quiet: string | undefined, time: number): number {
  const span = quiet === undefined ? undefined : readClockSpan(quiet);
  if (span === undefined) return time;
  const isQuiet = (at: number): boolean => {
    const { minutes } = clock.at(at);
    return span.from < span.to ? minutes >= span.from && minutes < span.to : minutes >= span.from || minutes < span.to;
  };
  if (!isQuiet(time)) return time;
  // In steps of a minute on the real clock: right over a change of summer time too, and a day has only 1,440 of them.
  let at = Math.floor(time / MINUTE) * MINUTE;
  for (let step = 0; step < 25 * 60 && isQuiet(at); step++) at += MINUTE;
  return at;
}
