/**
 * How long a job waits in a queue that prints one job after the other.
 *
 * Two answers are given:
 * - For a job handed in now: what is left of the job in progress, and the mean service time for each one before it. Of the
 *   job in progress half of E[S²]/E[S] is left on average (the mean residual life of renewal theory), or nothing sensible
 *   can be said once it has taken longer than any job before it.
 * - For any job on an ordinary day, from arrivals and service times alone: the mean wait of the M/G/1 queue,
 *   λ E[S²] / (2 (1 − ρ)) with ρ = λ E[S] (F. Pollaczek 1930, A. Khinchine 1932; L. Kleinrock, Queueing Systems volume 1,
 *   1975, section 5.6). Assumed: arrivals independent of each other, one printer, first come first served.
 * The work that waits is gone after W / (1 − ρ) on average, since what arrives meanwhile is printed too (mean busy period
 * that begins with work W, Kleinrock section 5.8); with ρ ≥ 1 never.
 */

/** Durations of finished jobs and when jobs came, all in seconds. */
export interface QueueRecord {
  /** From the start of processing to the end, of jobs that came out. */
  readonly serviceSeconds: readonly number[];
  /** How long ago each known job was handed in, waiting ones and ended ones. */
  readonly arrivedSecondsAgo: readonly number[];
  /** Jobs that wait their turn. */
  readonly pending: number;
  /** Seconds that the job in progress has taken so far; null when there is none. */
  readonly inProgressSeconds: number | null;
}

export interface Waiting {
  /** Expected wait of a job handed in now; null without a service time to go by, or behind a job that takes longer than any before. */
  readonly expectedSeconds: number | null;
  /** Mean wait of the M/G/1 queue; null when it can't be told or grows without bound. */
  readonly usualSeconds: number | null;
  /** Share of the time that the printer is busy, ρ; null without arrivals. */
  readonly load: number | null;
  /** Expected time until nothing waits any more; null when it can't be told or never comes. */
  readonly clearsInSeconds: number | null;
  readonly usualServiceSeconds: number | null;
}

/** Fewer finished jobs than this say little of the next one: common practice, no published source. */
export const LEAST_SERVICES = 3;
const LEAST_ARRIVALS = 3;

export function waitingOf(record: QueueRecord): Waiting {
  const { serviceSeconds, pending, inProgressSeconds } = record;
  const jobs = pending + (inProgressSeconds === null ? 0 : 1);
  if (serviceSeconds.length < LEAST_SERVICES) {
    const none = jobs === 0 ? 0 : null;
    return { expectedSeconds: none, usualSeconds: null, load: null, clearsInSeconds: none, usualServiceSeconds: null };
  }
  const mean = meanOf(serviceSeconds);
  // What takes longer than any job before it is like none of them: how long it goes on nobody can say.
  const known = inProgressSeconds === null || inProgressSeconds <= Math.max(...serviceSeconds);
  const square = meanOf(serviceSeconds.map((s) => s * s));
  const residual = inProgressSeconds === null || mean === 0 ? 0 : square / (2 * mean);
  const work = residual + pending * mean;
  const rate = arrivalRate(record.arrivedSecondsAgo);
  const load = rate === null ? null : rate * mean;
  const spare = load === null ? 1 : 1 - load;
  return {
    expectedSeconds: known ? Math.round(work) : null,
    usualSeconds: rate === null || spare <= 0 ? null : Math.round((rate * square) / (2 * spare)),
    load,
    clearsInSeconds: jobs > 0 && (spare <= 0 || !known) ? null : Math.round(jobs === 0 ? 0 : work / spare),
    usualServiceSeconds: mean,
  };
}

/** Arrivals a second since the earliest job known, that one left out: it is what the count begins with. */
function arrivalRate(ago: readonly number[]): number | null {
  if (ago.length < LEAST_ARRIVALS) return null;
  const span = Math.max(...ago);
  return span <= 0 ? null : (ago.length - 1) / span;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Longer than this is out of the ordinary here: four times the longest of the finished jobs, a minute at least. */
export function unusuallyLong(serviceSeconds: readonly number[]): number | null {
  if (serviceSeconds.length < LEAST_SERVICES) return null;
  return Math.max(60, 4 * Math.max(...serviceSeconds));
}
