import type { Belief, Comb } from './comb.js';

/** Ranges and chances that the odds of a comb rest on. Common practice, no published source. */
export const REACH = {
  /** Shortest and longest period that is thought of, in mm: below a small charge roller, beyond a large drum. */
  shortestMm: 12,
  longestMm: 400,
  /** Chance that a reading is no mark of a turning part at all. */
  stray: 0.02,
  /** Length of a page along the feed, in mm: where a stray mark may lie. */
  pageMm: 300,
  /** Chance that one mark is read twice. */
  twice: 0.1,
} as const;

/**
 * How surely a turn leaves a mark that is seen: the two parameters of a beta distribution. Four turns of five for a
 * mark, nearly every turn for a ghost. Common practice, no published source.
 */
export interface Seen {
  readonly shown: number;
  readonly hidden: number;
}
export const MARK_SEEN: Seen = { shown: 4, hidden: 1 };
export const GHOST_SEEN: Seen = { shown: 40, hidden: 1 };

/** Different turns that have a reading. */
export function turnsShown({ turns }: Pick<Comb, 'turns'>): number {
  return new Set(turns.filter((turn) => turn !== null)).size;
}

/**
 * Log of the chance density of all readings under one comb, phase and period integrated out (Laplace's method, exact
 * here because the model is linear once the turns are known). Turns between the first and the last mark that have no
 * reading count as missed: that is what weighs a period against its half and its third.
 */
export function combLogOdds(comb: Comb, error: number, seen: Seen, belief?: Belief): number {
  const members = comb.turns.filter((turn) => turn !== null);
  const shown = turnsShown(comb);
  const missed = Math.max(...members) + 1 - shown;
  const strays = comb.turns.length - members.length;
  const readings = -members.length * Math.log(error * Math.sqrt(2 * Math.PI)) - comb.chiSquare / 2;
  const held = Math.log(2 * Math.PI) + 2 * Math.log(error) - 0.5 * Math.log(comb.sharpness);
  const before =
    belief === undefined
      ? -Math.log(comb.period * Math.log(REACH.longestMm / REACH.shortestMm))
      : -Math.log(belief.spread * Math.sqrt(2 * Math.PI));
  const phase = -Math.log(comb.period);
  return (
    readings +
    held +
    before +
    phase +
    logBetaRatio(seen, shown - 1, missed) +
    (members.length - shown) * Math.log(REACH.twice) +
    members.length * Math.log(1 - REACH.stray) +
    strayLogOdds(strays)
  );
}

/** The same of readings that follow no comb. */
export function strayLogOdds(strays: number): number {
  return strays * Math.log(REACH.stray / REACH.pageMm);
}

/** Log of the mean of `q^shown × (1−q)^missed` over the beta distribution of q. */
function logBetaRatio({ shown: a, hidden: b }: Seen, shown: number, missed: number): number {
  // Both parameters are whole, so the beta functions are products: B(a+s, b+m) / B(a, b).
  let log = 0;
  for (let i = 0; i < shown; i++) log += Math.log(a + i);
  for (let i = 0; i < missed; i++) log += Math.log(b + i);
  for (let i = 0; i < shown + missed; i++) log -= Math.log(a + b + i);
  return log;
}
