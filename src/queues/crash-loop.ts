import {
  type Candidate,
  type CandidateKind,
  type CrashHistory,
  type Exposures,
  exposuresOf,
  type JobIdentity,
} from './exposure.js';
import { binomialTail, hypergeometricTail } from './odds.js';

/**
 * Who is to blame for repeated crashes of a print service: a job, a document, a driver, a format or an owner.
 *
 * Being there is no proof: whoever prints most is there most often. So each candidate is held against three accounts of
 * chance, and must stand out from all of them:
 * - crashes fall anywhere in the time that the service ran (binomial: crashes, share of that time in progress);
 * - crashes need some job in progress, whichever it is (binomial: such crashes, share of the busy time);
 * - every attempt at a job is equally likely to end in a crash (hypergeometric: attempts, those that crashed, its own).
 * The largest of the three chances counts, corrected for the number of candidates. For the first two each of the five kinds
 * gets a fifth of the stated rate, shared among the candidates of the kind, half of it evenly and half by the time each was
 * in progress (Bonferroni's correction with weights: hundreds of jobs must not drown four drivers, nor jobs of a second the
 * one that is there all day). For the third only candidates count that had attempts enough to stand out at all
 * (R. E. Tarone, Biometrics 46, 1990). Among those that stand out the likelihood ratio decides. A job's driver, document,
 * format or owner takes its place when the crashes that the job does not explain point there too.
 */

/** Somebody is accused when chance would bring anybody this far in no more than one history of fifty. */
export const FALSE_ACCUSATIONS = 0.02;
/** One crash proves nothing against anybody. */
const LEAST_HITS = 2;
/** For the step from a job to its driver or document: few candidates, of which one is named already. */
const BROADER = 0.05;
/** With fewer attempts at anything else there is nothing to compare attempts with: time alone counts, and it is said. */
const LEAST_OTHERS = 5;

export interface Accused {
  readonly kind: CandidateKind;
  readonly job: JobIdentity;
}

export interface CrashLoop {
  readonly crashes: readonly number[];
  readonly accused: Accused | null;
  /** Crashes at which the accused was in progress. */
  readonly explains: number;
  /** Chance, corrected for the number of candidates; null when nothing was in progress at any crash. */
  readonly byChance: number | null;
  /** Other jobs that were in progress at each of those crashes too. */
  readonly companions: readonly JobIdentity[];
  /** True when hardly any other job was tried: then the job, its driver and printing as such can't be told apart. */
  readonly alone: boolean;
}

/** Null when the record holds no crash. Pure: the same record gives the same answer. */
export function findCrashLoop(history: CrashHistory): CrashLoop | null {
  const exposures = exposuresOf(history);
  if (exposures.crashes.length === 0) return null;
  const tested = distinct(exposures.candidates);
  const chance = chancesAmong(tested, exposures);
  const scored = tested
    .filter((candidate) => candidate.hits.length >= LEAST_HITS)
    .map((candidate) => ({
      candidate,
      chance: chance(candidate),
      score: likelihoodRatio(candidate, exposures),
    }))
    .sort((a, b) => b.score - a.score);
  const proven = scored.find((one) => one.chance <= FALSE_ACCUSATIONS);
  if (proven === undefined) return { ...NOBODY, crashes: exposures.crashes, byChance: leastChance(scored) };
  const narrow = closest(proven, scored);
  const chosen = broaderThan(narrow, scored, exposures) ?? narrow;
  const { kind, job, hits, attempts } = chosen.candidate;
  return {
    crashes: exposures.crashes,
    accused: { kind, job },
    explains: hits.length,
    byChance: Math.min(proven.chance, chosen.chance),
    alone: exposures.attempts - attempts < LEAST_OTHERS,
    companions: companionsOf(chosen, scored),
  };
}

const NOBODY = { accused: null, explains: 0, alone: false, companions: [] } as const;

interface Scored {
  readonly candidate: Candidate;
  readonly chance: number;
  readonly score: number;
}

const KIND_ORDER: readonly CandidateKind[] = ['job', 'document', 'driver', 'format', 'user'];

/** A job and a document printed once have the same record: they are one candidate, the narrower. */
function distinct(candidates: readonly Candidate[]): readonly Candidate[] {
  const seen = new Map<string, Candidate>();
  for (const candidate of [...candidates].sort((a, b) => order(a) - order(b))) {
    const record = `${candidate.exposureMs} ${candidate.attempts} ${candidate.hits.join()} ${candidate.job.id}`;
    if (!seen.has(record)) seen.set(record, candidate);
  }
  return [...seen.values()];
}

/** Each candidate's part of what its kind may spend. */
function weightsAmong(candidates: readonly Candidate[]): (candidate: Candidate) => number {
  const kinds = new Map<CandidateKind, { count: number; exposureMs: number }>();
  for (const { kind, exposureMs } of candidates) {
    const before = kinds.get(kind) ?? { count: 0, exposureMs: 0 };
    kinds.set(kind, { count: before.count + 1, exposureMs: before.exposureMs + exposureMs });
  }
  return ({ kind, exposureMs }) => {
    const all = kinds.get(kind) ?? { count: 1, exposureMs };
    return (1 / all.count + share(exposureMs, all.exposureMs)) / 2;
  };
}

function order(candidate: Candidate): number {
  return KIND_ORDER.indexOf(candidate.kind);
}

function leastChance(scored: readonly Scored[]): number | null {
  return scored.reduce<number | null>((low, { chance }) => Math.min(low ?? 1, chance), null);
}

const covers = (one: Candidate, other: Candidate): boolean => other.hits.every((hit) => one.hits.includes(hit));

/** Scores within a factor of ten in likelihood say the same. */
const SAME = Math.LN10;

/**
 * Of those that explain the same crashes about as well, the narrowest: a job before its document, a document before its
 * driver. Between jobs that came together each time the one that crashes at the steadiest delay after its own start:
 * whoever merely was there began at any moment of the other's run.
 */
function closest(proven: Scored, scored: readonly Scored[]): Scored {
  const near = scored.filter(({ candidate, score }) => {
    return score >= proven.score - SAME && covers(candidate, proven.candidate);
  });
  const sorted = near.sort((a, b) => {
    const byKind = order(a.candidate) - order(b.candidate);
    return byKind || a.candidate.unsteadiness - b.candidate.unsteadiness || b.score - a.score;
  });
  return sorted[0] ?? proven;
}

function companionsOf({ candidate }: Scored, scored: readonly Scored[]): readonly JobIdentity[] {
  const jobs = scored.filter((other) => other.candidate.kind === 'job' && covers(other.candidate, candidate));
  return candidate.kind === 'job'
    ? jobs.map((other) => other.candidate.job).filter((job) => job !== candidate.job)
    : [];
}

/** One candidate against the whole record, counted in what is independent for its kind. */
interface Counts {
  readonly hits: number;
  readonly crashes: number;
  readonly busyCrashes: number;
  readonly own: number;
  readonly ownCrashed: number;
  readonly all: number;
  readonly allCrashed: number;
}

/** A job is counted in crashes and attempts; what several jobs share, in jobs: one of them tried ten times is one. */
function countsOf(candidate: Candidate, all: Exposures): Counts {
  if (candidate.kind === 'job') {
    return {
      hits: candidate.hits.length,
      crashes: all.crashes.length,
      busyCrashes: all.busyCrashes,
      own: candidate.attempts,
      ownCrashed: candidate.crashed,
      all: all.attempts,
      allCrashed: all.crashedAttempts,
    };
  }
  const idle = all.crashes.length - all.busyCrashes;
  return {
    hits: candidate.freshHits.length,
    crashes: all.freshCrashes + idle,
    busyCrashes: all.freshCrashes,
    own: candidate.jobs,
    ownCrashed: candidate.crashedJobs,
    all: all.jobs,
    allCrashed: all.crashedJobs,
  };
}

/** The largest chance of the three accounts, each corrected for the number of candidates. */
function chancesAmong(tested: readonly Candidate[], all: Exposures): (candidate: Candidate) => number {
  const weight = weightsAmong(tested);
  const able = ableToStandOut(
    tested.map((candidate) => {
      const { own, all: attempts, allCrashed } = countsOf(candidate, all);
      return hypergeometricTail(Math.min(own, allCrashed), attempts, allCrashed, own);
    }),
  );
  return (candidate) => {
    const counts = countsOf(candidate, all);
    const anywhere = binomialTail(counts.hits, counts.crashes, share(candidate.exposureMs, all.upMs));
    const many = KIND_ORDER.length / weight(candidate);
    if (all.attempts - candidate.attempts < LEAST_OTHERS) return Math.min(1, anywhere * many);
    const whileBusy = binomialTail(counts.hits, counts.busyCrashes, share(candidate.exposureMs, all.busyMs));
    const perAttempt = hypergeometricTail(counts.ownCrashed, counts.all, counts.allCrashed, counts.own);
    return Math.min(1, Math.max(anywhere * many, whileBusy * many, perAttempt * able));
  };
}

/** Tarone's factor: the least k such that no more than k candidates could reach the stated rate divided by k. */
function ableToStandOut(leastChances: readonly number[]): number {
  for (let k = 1; k < leastChances.length; k += 1) {
    if (leastChances.filter((chance) => chance <= FALSE_ACCUSATIONS / k).length <= k) return k;
  }
  return Math.max(1, leastChances.length);
}

function share(part: number, whole: number): number {
  return whole <= 0 ? 1 : Math.min(1, part / whole);
}

/**
 * Logarithm of the likelihood ratio: crashes more frequent with the candidate in progress than without, against one
 * frequency for all (Poisson, each frequency at its best estimate).
 */
function likelihoodRatio({ hits, exposureMs }: Candidate, { crashes, upMs }: Exposures): number {
  const q = Math.min(1 - 1e-12, Math.max(1e-12, share(exposureMs, upMs)));
  const with_ = hits.length / crashes.length;
  const term = (observed: number, expected: number): number =>
    observed === 0 ? 0 : observed * Math.log(observed / expected);
  return crashes.length * (term(with_, q) + term(1 - with_, 1 - q));
}

/**
 * A driver that crashes on several jobs makes each of them look guilty for itself. What decides is the rest: when the
 * crashes without the job point to something that the job shares with others, that is named in its place.
 */
function broaderThan(narrow: Scored, others: readonly Scored[], all: Exposures): Scored | undefined {
  const explained = new Set(narrow.candidate.hits);
  const rest = all.crashes.length - explained.size;
  const wider = others.filter(({ candidate, chance: alone }) => {
    const more = candidate.freshHits.filter((hit) => !explained.has(hit)).length;
    if (alone > FALSE_ACCUSATIONS || more < LEAST_HITS || !covers(candidate, narrow.candidate)) return false;
    if (order(candidate) <= order(narrow.candidate)) return false;
    const left = Math.max(0, candidate.exposureMs - narrow.candidate.exposureMs);
    const chance = binomialTail(more, rest, share(left, all.upMs - narrow.candidate.exposureMs));
    return Math.min(1, chance * (KIND_ORDER.length - 1)) <= BROADER;
  });
  return wider.sort((a, b) => b.candidate.hits.length - a.candidate.hits.length || b.score - a.score)[0];
}
