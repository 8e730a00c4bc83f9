import { fractionOf } from './chance.js';
import type { Track } from './track.js';

/** How often printers are read, in milliseconds: the configuration's `read`. */
export interface Pace {
  readonly everyMs: number;
  readonly inFaultMs: number;
}

/** What a reading asks. `card`: only what a sleeping printer's network card answers by itself. */
export type Depth = 'card' | 'usual';

export interface Turn {
  /** Milliseconds from the end of the last reading. */
  readonly waitMs: number;
  /** Fixed to the printer's own place within the interval, so that a site's printers are spread over it. */
  readonly spread: boolean;
  readonly depth: Depth;
}

/** A first sign of change is looked at again after this long. */
const CONFIRM_MS = 20_000;
/** A dead printer is asked this seldom in the end. */
const DEAD_MOST_MS = 15 * 60_000;
/** A sleeping printer changes nothing by itself. */
const ASLEEP_FACTOR = 2;

/** When and how a printer is read next, by what is known of it. */
export function turnOf(track: Track, { everyMs, inFaultMs }: Pace): Turn {
  if (track.pending !== null) return { waitMs: Math.min(CONFIRM_MS, inFaultMs), spread: false, depth: 'usual' };
  if (track.lifeless > 0) {
    const waitMs = Math.min(inFaultMs * 2 ** Math.min(track.lifeless - 1, 10), Math.max(DEAD_MOST_MS, inFaultMs));
    return { waitMs, spread: false, depth: 'usual' };
  }
  if (track.confirmed?.silent === true) return { waitMs: inFaultMs, spread: false, depth: 'usual' };
  if (track.asleep) return { waitMs: everyMs * ASLEEP_FACTOR, spread: true, depth: 'card' };
  return { waitMs: everyMs, spread: true, depth: 'usual' };
}

/** Part of a wait that differs from printer to printer, either way. */
const JITTER = 0.1;

/**
 * The time of the next reading, on a clock that never jumps. A spread one falls on the printer's own place within the
 * interval; between half and one and a half intervals lie between two readings.
 */
export function nextAt(name: string, lastAt: number, { waitMs, spread }: Turn, count = 0): number {
  if (!spread) return lastAt + waitMs * (1 - JITTER + 2 * JITTER * fractionOf(`${name} ${count}`));
  const phase = fractionOf(name) * waitMs;
  const earliest = lastAt + waitMs / 2;
  return Math.ceil((earliest - phase) / waitMs) * waitMs + phase;
}

/** When a printer is read for the first time after a start: at its own place within the interval, or within 20 s of it. */
export function firstAt(name: string, startAt: number, { everyMs }: Pace): number {
  return startAt + fractionOf(name) * Math.min(everyMs, 20_000);
}
