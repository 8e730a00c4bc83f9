import type { Words } from './words.js';

/** How the page tells time: where the site is, and in which language. */
export interface Clock {
  /** Milliseconds since 1970. */
  readonly now: number;
  /** Time of day for today, otherwise with the date. */
  readonly at: (time: number | string) => string;
  /** A calendar date out of `YYYY-MM-DD`. */
  readonly date: (iso: string) => string;
  /** "3 hours": rounded to what matters. */
  readonly span: (ms: number) => string;
}

/** Pure but for the timezone of this machine, which holds where none is named (IANA name). */
export function clockOf(now: number, timezone: string | undefined, words: Words): Clock {
  return clockIn(timezone, words)(now);
}

/** The same for many moments: to make its formats takes longer than all that they are used for. */
export function clockIn(timezone: string | undefined, words: Words): (now: number) => Clock {
  const zone = timezone === undefined ? {} : { timeZone: timezone };
  const { locale } = words;
  const time = new Intl.DateTimeFormat(locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', ...zone });
  const day = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', year: 'numeric', ...zone });
  const plainDay = new Intl.DateTimeFormat(locale, {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: 'UTC',
  });
  const date = (iso: string): string => {
    const ms = Date.parse(iso);
    return Number.isFinite(ms) ? plainDay.format(ms) : iso;
  };
  const span = (ms: number): string => spanWords(ms, words);
  return (now) => {
    const today = day.format(now);
    const at = (moment: number | string): string => {
      const ms = typeof moment === 'number' ? moment : Date.parse(moment);
      if (!Number.isFinite(ms)) return '';
      const then = day.format(ms);
      return then === today ? time.format(ms) : `${then}, ${time.format(ms)}`;
    };
    return { now, at, date, span };
  };
}

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

function spanWords(ms: number, { time }: Words): string {
  if (ms < MINUTE) return time.under;
  if (ms < 2 * HOUR) return time.minute(Math.round(ms / MINUTE));
  return ms < 2 * DAY ? time.hour(Math.round(ms / HOUR)) : time.day(Math.round(ms / DAY));
}
