import { type Comb, fitComb } from './comb.js';
import { combLogOdds, REACH, type Seen, turnsShown } from './comb-odds.js';

/** A comb and the log of its odds. */
export interface Weighed {
  readonly comb: Comb;
  readonly logOdds: number;
}

/** Each reading is paired with this many that follow it. */
const NEIGHBOURS = 4;
const MOST_COMBS = 40;

/** First guesses of a period: every distance between two readings, and its whole parts. */
function* guesses(readings: readonly number[], shortest: number): Generator<{ anchor: number; period: number }> {
  for (let anchor = 0; anchor < readings.length; anchor++) {
    for (let next = anchor + 1; next <= Math.min(readings.length - 1, anchor + NEIGHBOURS); next++) {
      const distance = (readings[next] ?? 0) - (readings[anchor] ?? 0);
      const most = Math.min(12, Math.floor(distance / shortest));
      for (let turns = 1; turns <= most; turns++) {
        if (distance / turns <= REACH.longestMm) yield { anchor, period: distance / turns };
      }
    }
  }
}

/**
 * Every way to read the marks as one comb of whatever period, the likeliest first. `least`: different turns that must
 * have a mark. Readings in mm, ascending.
 */
export function freeCombs(readings: readonly number[], error: number, seen: Seen, least: number): readonly Weighed[] {
  const shortest = Math.max(REACH.shortestMm, 6 * error);
  const found = new Map<string, Weighed>();
  for (const { anchor, period } of guesses(readings, shortest)) {
    const comb = fitComb(readings, error, anchor, period);
    if (comb === undefined || comb.period < shortest || comb.period > REACH.longestMm) continue;
    const key = comb.turns.join();
    if (found.has(key) || turnsShown(comb) < least) continue;
    found.set(key, { comb, logOdds: combLogOdds(comb, error, seen) });
  }
  return [...found.values()].sort((a, b) => b.logOdds - a.logOdds).slice(0, MOST_COMBS);
}
