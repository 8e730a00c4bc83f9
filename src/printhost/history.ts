import { type HostEvent, type HostJob, isDenied, type PrintHostReport, type Readable } from '../model/print-host.js';
import type { CrashHistory, HistoryEntry, JobIdentity } from '../queues/exposure.js';
import { type JobTraits, type Meaning, meaningOf } from './meaning.js';

/** The record of a print service as its host's events and job list tell it. */
export interface ServiceRecord extends CrashHistory {
  /** Modules that crash reports name, with how often. */
  readonly modules: readonly { readonly module: string; readonly times: number }[];
}

/** Several records of one crash lie no further apart than this: common practice, no published source. */
const ONE_CRASH_MS = 15_000;
const DAY_MS = 86_400_000;

/** Null when no events could be read or none speaks of the print service. */
export function serviceRecord(report: PrintHostReport): ServiceRecord | null {
  if (isDenied(report.events)) return null;
  const drivers = driversOf(report);
  return recordOf(report.events, {
    jobs: listOf(report.jobs),
    driverOf: (queue) => (queue === null ? null : (drivers.get(queue.toLowerCase()) ?? null)),
    until: Date.parse(report.madeAt),
    days: report.days,
  });
}

interface Around {
  readonly jobs: readonly HostJob[];
  readonly driverOf: (queue: string | null) => string | null;
  /** Milliseconds since 1970. */
  readonly until: number;
  readonly days: number;
}

/** A record out of events alone: it begins with the first of them and ends with the last. */
export function recordOfEvents(events: readonly HostEvent[]): ServiceRecord | null {
  const times = events.map((event) => Date.parse(event.at)).sort((a, b) => a - b);
  const [first = 0] = times;
  const until = times.at(-1) ?? 0;
  return recordOf(events, { jobs: [], driverOf: () => null, until, days: (until - first) / DAY_MS });
}

interface Told {
  readonly at: number;
  readonly meaning: Meaning;
}

function recordOf(events: readonly HostEvent[], around: Around): ServiceRecord | null {
  const told = oldestFirst(events).flatMap((event): Told[] => {
    const meaning = meaningOf(event);
    return meaning === undefined ? [] : [{ at: Date.parse(event.at), meaning }];
  });
  if (told.length === 0) return null;
  const identities = identitiesOf(told, around);
  const entries = withoutEchoes(told).flatMap(({ at, meaning }): HistoryEntry[] => {
    if (meaning.kind === 'crash') return [{ at, kind: 'crash' }];
    if (meaning.kind === 'service-start' || meaning.kind === 'service-stop') return [{ at, kind: meaning.kind }];
    if (meaning.kind !== 'job-start' && meaning.kind !== 'job-end') return [];
    const job = identities.get(meaning.job);
    return job === undefined ? [] : [{ at, kind: meaning.kind, job }];
  });
  const since = Math.min(told[0]?.at ?? around.until, around.until - around.days * DAY_MS);
  return { since, until: Math.max(around.until, told.at(-1)?.at ?? 0), entries, modules: modulesOf(told) };
}

/** Several may bear the same time: their own order tells which came first, and most lists have the newest at their head. */
function oldestFirst(events: readonly HostEvent[]): readonly HostEvent[] {
  const times = events.map(({ at }) => Date.parse(at));
  const steps = times.slice(1).map((at, i) => Math.sign(at - (times[i] ?? at)));
  const newestFirst = steps.reduce((sum, step) => sum + step, 0) < 0;
  const listed = newestFirst ? [...events].reverse() : [...events];
  return listed.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** The control manager and the service itself may both record one crash; a stop right after it is part of it. */
function withoutEchoes(told: readonly Told[]): readonly Told[] {
  const certain = told.filter(({ meaning }) => meaning.kind === 'crash' && meaning.certain).map(({ at }) => at);
  const near = (at: number): boolean => certain.some((crash) => Math.abs(crash - at) <= ONE_CRASH_MS);
  return told.filter(({ at, meaning }) => {
    if (meaning.kind === 'crash') return meaning.certain || !near(at);
    return meaning.kind !== 'service-stop' || !near(at);
  });
}

/** What is told of one job. */
interface Group {
  readonly id: number;
  readonly traits: JobTraits[];
  ended: boolean;
  /** When it was last told of. */
  last: number;
}

/**
 * Events name a job by its number and each tells only a part. All that is told of a number between its first event and its
 * end is one job; after its end, or once another comes in under it, the number is another's: whoever empties the spool folder
 * by hand ends jobs without any event, and numbers begin anew.
 */
function identitiesOf(told: readonly Told[], around: Around): ReadonlyMap<JobTraits, JobIdentity> {
  const groups: Group[] = [];
  const newest = new Map<number, Group>();
  for (const { at, meaning } of told) {
    if (!('job' in meaning)) continue;
    const { job } = meaning;
    let group = newest.get(job.id);
    const another = meaning.kind === 'job-new' || (group?.ended === true && meaning.kind !== 'job-end');
    if (group === undefined || another || contradicts(group.traits, job)) {
      group = { id: job.id, traits: [], ended: false, last: at };
      groups.push(group);
      newest.set(job.id, group);
    }
    group.traits.push(job);
    group.last = at;
    group.ended ||= meaning.kind === 'job-end';
  }
  const found = new Map<JobTraits, JobIdentity>();
  for (const group of groups) {
    const listed = newest.get(group.id) === group ? around.jobs.find((job) => isListed(job, group)) : undefined;
    const identity = joined(group.id, group.traits, listed, around.driverOf);
    for (const one of group.traits) found.set(one, identity);
  }
  return found;
}

/** A job that still waits is in the job list, which tells what its events do not; one that came after them is another. */
function isListed(job: HostJob, { id, ended, traits, last }: Group): boolean {
  if (ended || job.id !== id) return false;
  const cameLater = job.submittedAt !== null && Date.parse(job.submittedAt) > last + ONE_CRASH_MS;
  return !cameLater && traits.every(({ document }) => document === null || document === (job.document ?? document));
}

function contradicts(traits: readonly JobTraits[], job: JobTraits): boolean {
  return traits.some((other) => other.document !== null && job.document !== null && other.document !== job.document);
}

function joined(
  id: number,
  traits: readonly JobTraits[],
  listed: HostJob | undefined,
  driverOf: Around['driverOf'],
): JobIdentity {
  const first = (key: keyof Omit<JobTraits, 'id'>): string | null =>
    traits.find((one) => one[key] !== null)?.[key] ?? null;
  const queue = first('queue') ?? listed?.queue ?? null;
  return {
    id,
    document: first('document') ?? listed?.document ?? null,
    user: first('user') ?? listed?.user ?? null,
    driver: first('driver') ?? driverOf(queue),
    format: first('format') ?? listed?.datatype ?? null,
    queue,
  };
}

function modulesOf(told: readonly Told[]): ServiceRecord['modules'] {
  const counts = new Map<string, number>();
  for (const { meaning } of told) {
    if (meaning.kind !== 'module' || meaning.module === null) continue;
    counts.set(meaning.module, (counts.get(meaning.module) ?? 0) + 1);
  }
  return [...counts].map(([module, times]) => ({ module, times })).sort((a, b) => b.times - a.times);
}

function driversOf({ queues }: PrintHostReport): ReadonlyMap<string, string> {
  return new Map(listOf(queues).map((queue) => [queue.name.toLowerCase(), queue.driverName]));
}

/** The list, empty where it was denied: only for joining things, never for saying that there is none. */
export function listOf<T>(value: Readable<readonly T[]>): readonly T[] {
  return isDenied(value) ? [] : value;
}
