import { type WallTime, wallTimeIn } from '../model/wall-time.js';
import { forTerminal } from '../render/escape.js';

/** A printer's own text, safe on paper: controls and direction marks spelt out, cut where it goes on for too long. */
export function onPaper(text: string, max = 120): string {
  return forTerminal(text.replace(/\s+/gu, ' ').trim(), max);
}

/** Says times as the clock on the wall of the site does. */
export class SiteClock {
  readonly zone: string;
  readonly #wall: (time: number) => WallTime;

  /** A name of the IANA time zone table; UTC without one. */
  constructor(timezone = 'UTC') {
    this.zone = timezone;
    this.#wall = wallTimeIn(timezone);
  }

  /** "2026-01-31 09:00" from an ISO 8601 time in UTC; anything else as it is. */
  at(iso: string): string {
    const time = Date.parse(iso);
    if (Number.isNaN(time)) return onPaper(iso, 40);
    const { date, hour, minute } = this.#wall(time);
    return `${date} ${hour}:${minute}`;
  }
}

/** "45 min", "2 h 10 min". */
export function durationWords(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 60) return `${whole} min`;
  const rest = whole % 60;
  return rest === 0 ? `${Math.floor(whole / 60)} h` : `${Math.floor(whole / 60)} h ${rest} min`;
}

/** Names one after the other; of many the first and how many more there are. */
export function namesWords(names: readonly string[], most = 6): string {
  const shown = names.slice(0, most).map((name) => onPaper(name, 40));
  const more = names.length - shown.length;
  return more > 0 ? `${shown.join(', ')} and ${more} more` : shown.join(', ');
}
