import { type Belief, fitComb } from './comb.js';
import { combLogOdds, type Seen, turnsShown } from './comb-odds.js';
import type { Weighed } from './free-combs.js';
import type { RotatingPart } from './rotating-parts.js';

/**
 * How far a circumference may be off, as a share of it: a manual rounds, paper slips, a heated part is larger.
 * Common practice, no published source.
 */
export const PART_TOLERANCE = 0.003;

export function beliefOf({ circumferenceMm }: RotatingPart): Belief {
  return { mm: circumferenceMm, spread: circumferenceMm * PART_TOLERANCE };
}

/** The likeliest way to read the marks as turns of one part; undefined when fewer than `least` turns would show. */
export function partComb(
  readings: readonly number[],
  error: number,
  part: RotatingPart,
  seen: Seen,
  least: number,
): Weighed | undefined {
  const belief = beliefOf(part);
  let best: Weighed | undefined;
  for (let anchor = 0; anchor < readings.length; anchor++) {
    const comb = fitComb(readings, error, anchor, part.circumferenceMm, belief);
    if (comb === undefined || turnsShown(comb) < least) continue;
    const logOdds = combLogOdds(comb, error, seen, belief);
    if (best === undefined || logOdds > best.logOdds) best = { comb, logOdds };
  }
  return best;
}
