import { type Comb, fitComb } from './comb.js';
import { MARK_SEEN, REACH, type Seen, turnsShown } from './comb-odds.js';
import { freeCombs, type Weighed } from './free-combs.js';
import { bestPair, LEAST_TURNS } from './interleaved.js';
import { PART_TOLERANCE, partComb } from './part-combs.js';
import type { RotatingPart } from './rotating-parts.js';

/** Share of belief that one reading of the marks must have before it is called decided. */
export const DECIDED = 0.9;

/** Beliefs before any mark is read. Common practice, no published source. */
const BEFORE = { parts: 0.9, otherPart: 0.05, scattered: 0.05 } as const;

/** One part that may have made the marks. */
export interface PartOdds {
  readonly part: RotatingPart;
  /** Belief that it did, from the distances alone. */
  readonly probability: number;
  /** Its best comb; undefined when no two marks lie on its turns. */
  readonly comb: Comb | undefined;
  /** Distance of the period from its circumference, in standard deviations of both. */
  readonly z: number;
}

/** One series of marks that returns at one distance. */
export interface Series {
  /** Readings it was found in, in mm, ascending. */
  readonly readings: readonly number[];
  /** Undefined when no two of them belong together. */
  readonly comb: Comb | undefined;
  /** The comb is that of a part of the model, not of any period whatever. */
  readonly ofPart: boolean;
  /** Belief in this comb's period against every other reading of the marks. */
  readonly certainty: number;
  /** The likeliest other reading, when there is one. */
  readonly rival: { readonly period: number; readonly probability: number; readonly part?: string } | undefined;
  /** Parts of the model, the likeliest first; empty without a model. */
  readonly parts: readonly PartOdds[];
  /** Every period thought of without a model, with its share of belief. */
  readonly periods: readonly { readonly mm: number; readonly sigma: number; readonly share: number }[];
  /** Belief that the marks lie without any order. */
  readonly scattered: number;
  readonly decided: boolean;
}

export interface RepeatQuestion {
  /** Positions of the marks along the feed on paper, in mm, in any order. */
  readonly marks: readonly number[];
  /** Standard deviation of one reading, in mm. */
  readonly error: number;
  /** Parts of the printer's model. Empty: any period is thought of. */
  readonly parts: readonly RotatingPart[];
  readonly seen?: Seen;
}

/**
 * Finds the distance at which marks return, though some were missed and some read twice: every period gives the marks
 * turns, and is weighed by how well they fit and how many turns between would have gone unseen. Two interleaved series
 * are taken apart. Gives one series, or two with the longer one first.
 */
export function solveRepeat({ marks, error, parts, seen = MARK_SEEN }: RepeatQuestion): readonly Series[] {
  const readings = [...marks].sort((a, b) => a - b);
  const asked = { error, parts, seen };
  const one = oneSeries(readings, asked);
  const whole = one.decided && one.comb?.turns.every((turn) => turn !== null) === true;
  const pair = whole || readings.length < 2 * LEAST_TURNS ? undefined : bestPair(readings, asked);
  // As a single series is: nine to one against every other reading of the marks.
  if (pair === undefined || pair.logOdds < one.logOdds + Math.log(DECIDED / (1 - DECIDED))) return [one];
  return pair.subsets.map((subset) => oneSeries(subset, asked));
}

interface Asked {
  readonly error: number;
  readonly parts: readonly RotatingPart[];
  readonly seen: Seen;
}

interface Hypothesis {
  readonly part: RotatingPart | undefined;
  readonly comb: Comb;
  readonly logOdds: number;
}

function oneSeries(readings: readonly number[], asked: Asked): Series & { readonly logOdds: number } {
  const hypotheses = hypothesesOf(readings, asked);
  const scatteredLog = Math.log(BEFORE.scattered) - readings.length * Math.log(REACH.pageMm);
  const most = Math.max(scatteredLog, ...hypotheses.map((h) => h.logOdds));
  const total = [...hypotheses.map((h) => h.logOdds), scatteredLog].reduce((sum, log) => sum + Math.exp(log - most), 0);
  const share = (log: number): number => Math.exp(log - most) / total;
  const best = hypotheses[0];
  const weighed = hypotheses.map((h) => ({ ...h, share: share(h.logOdds) }));
  const same = (h: Hypothesis): boolean => best !== undefined && samePeriod(h, best, asked);
  const certainty = weighed.filter(same).reduce((sum, h) => sum + h.share, 0);
  const rival = weighed.find((h) => !same(h));
  const odds = asked.parts.map((part) => partOdds(part, weighed, readings, asked.error));
  return {
    readings,
    comb: best?.comb,
    ofPart: best?.part !== undefined,
    certainty,
    rival: rival && {
      period: rival.comb.freePeriod,
      probability: rival.share,
      ...(rival.part === undefined ? {} : { part: rival.part.part }),
    },
    parts: odds.sort((a, b) => b.probability - a.probability || Math.abs(a.z) - Math.abs(b.z)),
    periods: weighed.map(({ comb, share: part }) => ({ mm: comb.freePeriod, sigma: comb.sigma, share: part })),
    scattered: share(scatteredLog),
    decided: best !== undefined && enough(best, asked) && certainty >= DECIDED,
    logOdds: Math.max(best?.logOdds ?? scatteredLog, scatteredLog),
  };
}

/** Every way to read the marks as one comb, the likeliest first. */
function hypothesesOf(readings: readonly number[], { error, parts, seen }: Asked): readonly Hypothesis[] {
  const byPart = parts.flatMap((part) => {
    const found = partComb(readings, error, part, seen, 2);
    return found === undefined ? [] : [withPrior(found, part, BEFORE.parts / parts.length)];
  });
  const prior = parts.length === 0 ? 1 - BEFORE.scattered : BEFORE.otherPart;
  const free = freeCombs(readings, error, seen, 2).map((found) => withPrior(found, undefined, prior));
  return [...byPart, ...free].sort((a, b) => b.logOdds - a.logOdds);
}

function withPrior({ comb, logOdds }: Weighed, part: RotatingPart | undefined, prior: number): Hypothesis {
  return { part, comb, logOdds: logOdds + Math.log(prior) };
}

/** With a model, the same part; without, periods that their errors can't tell apart. */
function samePeriod(a: Hypothesis, b: Hypothesis, { parts }: Asked): boolean {
  if (parts.length > 0) return a.part === b.part && (a.part !== undefined || near(a.comb, b.comb));
  return near(a.comb, b.comb);
}

function near(a: Comb, b: Comb): boolean {
  return (
    Math.abs(a.period - b.period) <= 3 * Math.max(Math.min(a.sigma, a.period / 50), Math.min(b.sigma, b.period / 50))
  );
}

/** A part needs two turns, a period without a model three; and most marks must belong to it. */
function enough({ comb, part }: Hypothesis, { parts }: Asked): boolean {
  const members = comb.turns.filter((turn) => turn !== null).length;
  if (parts.length > 0 && part === undefined) return false;
  return turnsShown(comb) >= (parts.length > 0 ? 2 : 3) && members > comb.turns.length / 2;
}

function partOdds(
  part: RotatingPart,
  weighed: readonly (Hypothesis & { readonly share: number })[],
  readings: readonly number[],
  error: number,
): PartOdds {
  const own = weighed.find((h) => h.part === part);
  const period = own?.comb ?? nearestPeriod(weighed[0]?.comb, readings, error);
  const spread = Math.hypot(
    part.circumferenceMm * PART_TOLERANCE,
    Number.isFinite(period?.sigma) ? (period?.sigma ?? 0) : 0,
  );
  const z = period === undefined ? 0 : (period.freePeriod - part.circumferenceMm) / spread;
  return { part, probability: own?.share ?? 0, comb: own?.comb, z };
}

/** For a part that no two marks fit: the period that the marks do show, if any. */
function nearestPeriod(comb: Comb | undefined, readings: readonly number[], error: number): Comb | undefined {
  const distance = (readings[1] ?? 0) - (readings[0] ?? 0);
  return comb ?? fitComb(readings, error, 0, distance);
}
