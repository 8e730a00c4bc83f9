import { type Seen, strayLogOdds } from './comb-odds.js';
import { freeCombs, type Weighed } from './free-combs.js';
import { partComb } from './part-combs.js';
import type { RotatingPart } from './rotating-parts.js';

/** Belief, before any mark is read, that two parts leave marks at once. Common practice, no published source. */
const TWO_AT_ONCE = 0.03;
/** Turns that a series beside another must show: any two marks have some distance. */
export const LEAST_TURNS = 3;
const MOST_FIRST = 12;

interface Asked {
  readonly error: number;
  readonly parts: readonly RotatingPart[];
  readonly seen: Seen;
}

/** Two series that share the readings between them. */
export interface Pair {
  /** The series with more marks first; every reading is in one of them. */
  readonly subsets: readonly [readonly number[], readonly number[]];
  readonly logOdds: number;
}

/** The likeliest way to read the marks as two combs, of two parts or of two places on one part; undefined when there is none. */
export function bestPair(readings: readonly number[], asked: Asked): Pair | undefined {
  let best: Pair | undefined;
  for (const first of combsOf(readings, asked).slice(0, MOST_FIRST)) {
    const rest = readings.filter((_, at) => first.comb.turns[at] === null);
    const [second] = combsOf(rest, asked);
    if (second === undefined) continue;
    const pair = pairOf(readings, rest, first, second, asked.parts.length);
    if (best === undefined || pair.logOdds > best.logOdds) best = pair;
  }
  return best;
}

function pairOf(
  readings: readonly number[],
  rest: readonly number[],
  first: Weighed,
  second: Weighed,
  parts: number,
): Pair {
  const firsts = readings.filter((_, at) => first.comb.turns[at] !== null);
  // What the second explains need not be paid for as strays of the first.
  const alone = first.logOdds - strayLogOdds(rest.length);
  const logOdds = alone + second.logOdds + Math.log(TWO_AT_ONCE) - Math.log(Math.max(1, parts) ** 2);
  return { subsets: firsts.length >= rest.length ? [firsts, rest] : [rest, firsts], logOdds };
}

function combsOf(readings: readonly number[], { error, parts, seen }: Asked): readonly Weighed[] {
  if (readings.length < LEAST_TURNS) return [];
  if (parts.length === 0) return freeCombs(readings, error, seen, LEAST_TURNS);
  return parts
    .flatMap((part) => partComb(readings, error, part, seen, LEAST_TURNS) ?? [])
    .sort((a, b) => b.logOdds - a.logOdds);
}
