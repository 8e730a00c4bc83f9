import type { Certainty, LayerId } from '../model/layers.js';
import type { WhyDocument } from '../model/why.js';

/** How a printer was found, in what matters for telling: what of it changes is a change. */
export interface Condition {
  readonly silent: boolean | null;
  readonly layer: LayerId;
  readonly cause: string;
  readonly component: string | null;
  readonly certainty: Certainty;
  readonly summary: string;
}

/** What the agent holds of one printer from reading to reading. Times are milliseconds since 1970. */
export interface Track {
  readonly name: string;
  /** Printers that one dead switch would silence together share it. */
  readonly group: string;
  /** How it is, once that has been seen twice. Null before the first reading. */
  readonly confirmed: Condition | null;
  readonly since: number;
  /** Something else, seen but not yet confirmed. */
  readonly pending: { readonly condition: Condition; readonly since: number; readonly count: number } | null;
  /** Readings in a row without any sign of life. */
  readonly lifeless: number;
  readonly asleep: boolean;
  /** Readings in a row that could not tell. */
  readonly untold: number;
}

export function newTrack(name: string, group: string): Track {
  return { name, group, confirmed: null, since: 0, pending: null, lifeless: 0, asleep: false, untold: 0 };
}

export function conditionOf({ silent, verdict }: WhyDocument): Condition {
  const { layer, cause, certainty, summary, component } = verdict;
  return { silent, layer, cause, certainty, summary, component: component ?? null };
}

/** Causes that a printer can't tell of itself: nothing of it answers. */
const LIFELESS = new Set(['no-sign-of-life', 'powered-off', 'no-carrier', 'whole-subnet-silent', 'own-network-down']);

export function isLifeless(condition: Condition | null): boolean {
  return condition?.silent === true && LIFELESS.has(condition.cause);
}

/**
 * Two conditions with the same key are the same. A printer that can print is well, whatever it warns of; one of which nothing
 * answers is lifeless, whoever is suspected of it.
 */
export function keyOf(condition: Condition): string {
  const { silent, layer, cause, component } = condition;
  if (silent === null) return 'untold';
  if (!silent) return 'well';
  if (isLifeless(condition)) return 'lifeless';
  // One held job after the other is still one trouble.
  return layer === 'job' ? `${layer}/${cause}` : `${layer}/${cause}/${component ?? ''}`;
}

/** How often something must be seen before it counts. */
const SEEN_TWICE = 2;
/** Readings in a row that can't tell, before "well" is no longer said. */
const UNTOLD_MANY = 6;

export interface Observed {
  readonly track: Track;
  /** The condition that counts from now on; absent when nothing changed. `at` is when it was first seen. */
  readonly changed?: { readonly from: Condition | null; readonly to: Condition; readonly at: number };
}

/**
 * Takes one reading into account. What differs from what is known must be seen twice in a row; a reading that can't tell
 * neither raises nor ends anything, unless it is always so.
 */
export function observe(before: Track, seen: Condition, at: number, asleep: boolean): Observed {
  const track: Track = {
    ...before,
    asleep: asleep && seen.silent !== true,
    lifeless: isLifeless(seen) ? before.lifeless + 1 : 0,
    untold: seen.silent === null ? before.untold + 1 : 0,
  };
  const { confirmed } = track;
  if (confirmed !== null && keyOf(confirmed) === keyOf(seen)) {
    return { track: { ...track, pending: null, confirmed: seen } };
  }
  if (confirmed === null && seen.silent !== true) return confirm(track, seen, at);
  if (seen.silent === null) {
    return confirmed?.silent === false && track.untold >= UNTOLD_MANY ? confirm(track, seen, at) : { track };
  }
  const { pending } = track;
  if (pending !== null && keyOf(pending.condition) === keyOf(seen)) {
    const count = pending.count + 1;
    if (count >= SEEN_TWICE) return confirm(track, seen, Math.min(pending.since, at));
    return { track: { ...track, pending: { ...pending, count } } };
  }
  return { track: { ...track, pending: { condition: seen, since: at, count: 1 } } };
}

function confirm(track: Track, to: Condition, at: number): Observed {
  return {
    track: { ...track, confirmed: to, since: at, pending: null },
    changed: { from: track.confirmed, to, at },
  };
}
