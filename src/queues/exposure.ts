/**
 * What a print service's record comes to, before anything is judged: for every job, document, owner, driver and format, for
 * how long it was in progress while the service ran, how often it was begun, and at which crashes it was in progress.
 */

/** What is known of one job. The same object stands for the same job in all its events. */
export interface JobIdentity {
  readonly id: number;
  readonly document: string | null;
  readonly user: string | null;
  readonly driver: string | null;
  readonly format: string | null;
  readonly queue: string | null;
}

/** One entry of the record. Times in milliseconds since 1970. */
export type HistoryEntry =
  | { readonly at: number; readonly kind: 'crash' | 'service-start' | 'service-stop' }
  | { readonly at: number; readonly kind: 'job-start' | 'job-end'; readonly job: JobIdentity };

export interface CrashHistory {
  /** When the record begins and ends. */
  readonly since: number;
  readonly until: number;
  /** In order of time. */
  readonly entries: readonly HistoryEntry[];
}

export const CANDIDATE_KINDS = ['job', 'document', 'driver', 'format', 'user'] as const;
export type CandidateKind = (typeof CANDIDATE_KINDS)[number];

/** Somebody or something that may be to blame. */
export interface Candidate {
  readonly kind: CandidateKind;
  readonly key: string;
  /** Its latest job. */
  readonly job: JobIdentity;
  /** Milliseconds in progress while the service ran. */
  readonly exposureMs: number;
  /** How often a job of it was begun. */
  readonly attempts: number;
  /** Of those attempts, how many ended in a crash. */
  readonly crashed: number;
  /** Numbers of the crashes, from 0, at which it was in progress. */
  readonly hits: readonly number[];
  /** Those of its crashes that were the first of some job of it: a job that is tried again tells nothing new of its driver. */
  readonly freshHits: readonly number[];
  /** Different jobs of it that were begun, and how many of them met a crash. */
  readonly jobs: number;
  readonly crashedJobs: number;
  /** How much the time from its start to the crash varies: standard deviation of its logarithm over the hits. */
  readonly unsteadiness: number;
}

export interface Exposures {
  readonly crashes: readonly number[];
  /** Milliseconds that the service ran. */
  readonly upMs: number;
  /** Of those, with any job in progress. */
  readonly busyMs: number;
  /** Crashes with any job in progress. */
  readonly busyCrashes: number;
  readonly attempts: number;
  readonly crashedAttempts: number;
  /** Crashes at which some job met its first one. */
  readonly freshCrashes: number;
  readonly jobs: number;
  readonly crashedJobs: number;
  readonly candidates: readonly Candidate[];
}

/** Records have a resolution of a second at best: no attempt counts as shorter than that. */
const SHORTEST_MS = 1000;

interface Tally {
  readonly kind: CandidateKind;
  readonly key: string;
  job: JobIdentity;
  exposureMs: number;
  attempts: number;
  crashed: number;
  readonly hits: number[];
  readonly freshHits: number[];
  readonly jobs: Set<JobIdentity>;
  readonly delays: number[];
}

function keysOf(job: JobIdentity): readonly (readonly [CandidateKind, string])[] {
  const named: readonly (readonly [CandidateKind, string | null])[] = [
    ['job', String(job.id)],
    ['document', job.document],
    ['driver', job.driver],
    ['format', job.format],
    ['user', job.user],
  ];
  return named.flatMap(([kind, key]) => (key === null || key === '' ? [] : [[kind, key] as const]));
}

/** Walks the record once. */
class Walk {
  readonly #tallies = new Map<string, Tally>();
  readonly #running = new Map<JobIdentity, number>();
  /** A number may be given to one job after the other. */
  readonly #numbers = new Map<JobIdentity, number>();
  /** Jobs that the last crash interrupted and that nothing has been heard of since. */
  #interrupted: readonly JobIdentity[] = [];
  readonly #crashed = new Set<JobIdentity>();
  #up = true;
  #last: number;
  readonly crashes: number[] = [];
  upMs = 0;
  busyMs = 0;
  busyCrashes = 0;
  attempts = 0;
  crashedAttempts = 0;
  freshCrashes = 0;

  constructor(since: number) {
    this.#last = since;
  }

  take(entry: HistoryEntry): void {
    this.#pass(entry.at);
    if (entry.kind === 'crash') this.#crash(entry.at);
    else if (entry.kind === 'job-start') this.#begin(entry.job, entry.at);
    else if (entry.kind === 'job-end') this.#end(entry.job);
    else this.#turn(entry.kind === 'service-start');
  }

  finish(until: number): readonly Candidate[] {
    this.#pass(until);
    return [...this.#tallies.values()].map(({ delays, jobs, ...tally }) => ({
      ...tally,
      jobs: jobs.size,
      crashedJobs: [...jobs].filter((job) => this.#crashed.has(job)).length,
      exposureMs: Math.max(tally.exposureMs, tally.attempts * SHORTEST_MS),
      unsteadiness: deviationOf(delays),
    }));
  }

  /** What the records leave out of jobs that were over before the next tick. */
  get lackingMs(): number {
    return [...this.#tallies.values()].reduce((sum, { kind, exposureMs, attempts }) => {
      return sum + (kind === 'job' ? Math.max(0, attempts * SHORTEST_MS - exposureMs) : 0);
    }, 0);
  }

  get crashedJobs(): number {
    return this.#crashed.size;
  }

  get jobs(): number {
    return [...this.#tallies.values()].reduce((sum, { kind, jobs }) => sum + (kind === 'job' ? jobs.size : 0), 0);
  }

  #pass(at: number): void {
    const span = Math.max(0, at - this.#last);
    this.#last = Math.max(this.#last, at);
    if (!this.#up) return;
    this.upMs += span;
    if (this.#running.size > 0) this.busyMs += span;
    for (const tally of this.#inProgress().keys()) tally.exposureMs += span;
  }

  /** Everything that is in progress, with the start that lies closest. */
  #inProgress(): ReadonlyMap<Tally, number> {
    const found = new Map<Tally, number>();
    for (const [job, start] of this.#running) {
      for (const tally of this.#of(job)) found.set(tally, Math.max(start, found.get(tally) ?? start));
    }
    return found;
  }

  #of(job: JobIdentity): readonly Tally[] {
    return keysOf(job).map(([kind, key]) => {
      const name = `${kind} ${kind === 'job' ? this.#numberOf(job) : key}`;
      const known = this.#tallies.get(name);
      if (known !== undefined) return known;
      const made: Tally = {
        kind,
        key,
        job,
        exposureMs: 0,
        attempts: 0,
        crashed: 0,
        hits: [],
        freshHits: [],
        jobs: new Set(),
        delays: [],
      };
      this.#tallies.set(name, made);
      return made;
    });
  }

  #numberOf(job: JobIdentity): number {
    const number = this.#numbers.get(job) ?? this.#numbers.size;
    this.#numbers.set(job, number);
    return number;
  }

  #begin(job: JobIdentity, at: number): void {
    this.#up = true;
    this.#interrupted = this.#interrupted.filter((other) => other !== job);
    if (this.#running.has(job)) return;
    this.#running.set(job, at);
    this.attempts += 1;
    for (const tally of this.#of(job)) {
      tally.attempts += 1;
      tally.jobs.add(job);
      tally.job = job;
    }
  }

  #end(job: JobIdentity): void {
    this.#up = true;
    this.#running.delete(job);
    this.#interrupted = this.#interrupted.filter((other) => other !== job);
  }

  #turn(up: boolean): void {
    this.#up = up;
    if (!up) this.#running.clear();
  }

  #crash(at: number): void {
    // Where the record names no new start since the last crash, what was interrupted then was taken up again.
    if (this.#running.size === 0) for (const job of this.#interrupted) this.#begin(job, at - SHORTEST_MS);
    const number = this.crashes.push(at) - 1;
    if (this.#running.size > 0) this.busyCrashes += 1;
    const fresh = [...this.#running.keys()].filter((job) => !this.#crashed.has(job));
    if (fresh.length > 0) this.freshCrashes += 1;
    for (const tally of new Set(fresh.flatMap((job) => this.#of(job)))) tally.freshHits.push(number);
    for (const job of this.#running.keys()) {
      this.crashedAttempts += 1;
      this.#crashed.add(job);
      for (const tally of this.#of(job)) tally.crashed += 1;
    }
    for (const [tally, start] of this.#inProgress()) {
      tally.hits.push(number);
      tally.delays.push(Math.log(Math.max(SHORTEST_MS, at - start)));
    }
    this.#interrupted = [...this.#running.keys()];
    this.#running.clear();
    this.#up = false;
  }
}

function deviationOf(values: readonly number[]): number {
  if (values.length === 0) return Number.POSITIVE_INFINITY;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}

/** Adds up a record. A crash ends whatever was in progress; the service counts as up again from the next sign of it. */
export function exposuresOf(history: CrashHistory): Exposures {
  const walk = new Walk(history.since);
  for (const entry of history.entries) walk.take(entry);
  const candidates = walk.finish(history.until);
  const lacking = walk.lackingMs;
  const busyMs = walk.busyMs + lacking;
  const upMs = Math.max(walk.upMs, busyMs);
  const { crashes, busyCrashes, attempts, crashedAttempts, freshCrashes, jobs, crashedJobs } = walk;
  return { crashes, upMs, busyMs, busyCrashes, attempts, crashedAttempts, freshCrashes, jobs, crashedJobs, candidates };
}
