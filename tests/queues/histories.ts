import type { CrashHistory, HistoryEntry, JobIdentity } from '../../src/queues/exposure.js';
import { chances } from './chances.js';

/** Who is guilty in a made-up history. */
export type Guilt = 'job' | 'document' | 'driver' | 'nobody' | 'job among others' | 'job and chance';
export const GUILTS: readonly Guilt[] = ['job', 'document', 'driver', 'nobody', 'job among others', 'job and chance'];

export interface Story {
  readonly history: CrashHistory;
  readonly guilt: Guilt;
  /** What must be named; null: nobody. */
  readonly truth: { readonly kind: 'job' | 'document' | 'driver'; readonly key: string } | null;
  readonly crashes: number;
  /** Ids of the jobs that bring the service down. */
  readonly killers: ReadonlySet<number>;
}

const SECOND = 1000;
const HOUR = 3600 * SECOND;
const DRIVERS = ['Sandpiper PCL', 'Sandpiper PS', 'Heron XPS', 'Heron Universal'];
const FORMATS = ['RAW', 'NT EMF 1.008', 'XPS_PASS'];
const QUEUES = ['front-desk', 'drawing-room', 'chart-room'];

interface Planned {
  readonly identity: JobIdentity;
  readonly arrives: number;
  /** Milliseconds of work, from its beginning each time. */
  readonly takes: number;
  /** Milliseconds after its start at which it brings the service down; null: it does not. */
  readonly kills: number | null;
  /** Attempts after which its owner takes it out. */
  readonly patience: number;
}

const NEVER = Number.POSITIVE_INFINITY;
type Chance = () => number;
const exponential = (u: Chance, mean: number): number => -mean * Math.log(1 - u());
const pick = <T>(u: Chance, from: readonly T[]): T => from[Math.floor(u() * from.length)] as T;

/** An ordinary stream of jobs over a few days, 3 queues, a job every 2 to 20 minutes. */
function traffic(u: Chance, hours: number, driverShare: number): Planned[] {
  const every = (2 + 18 * u()) * 60 * SECOND;
  const jobs: Planned[] = [];
  let at = 0;
  for (let id = 1; at < hours * HOUR; id += 1) {
    at += exponential(u, every);
    const queue = pick(u, QUEUES);
    const identity: JobIdentity = {
      id,
      document: `letter ${Math.floor(u() * 400)}`,
      user: `user ${Math.floor(u() * 15)}`,
      driver: u() < driverShare ? (DRIVERS[0] ?? '') : pick(u, DRIVERS),
      format: pick(u, FORMATS),
      queue,
    };
    // Most jobs take seconds, some many minutes (log-normal).
    const gauss = Math.sqrt(-2 * Math.log(1 - u())) * Math.cos(2 * Math.PI * u());
    jobs.push({
      identity,
      arrives: at,
      takes: Math.min(HOUR, 15 * SECOND * Math.exp(1.1 * gauss)),
      kills: null,
      patience: 2,
    });
  }
  return jobs;
}

/** Makes a history: seed and guilt in, record and truth out. `crashes` is how many are awaited before the record ends. */
export function storyOf(seed: number, guilt: Guilt, crashes: number): Story {
  const u = chances(seed * 7919 + GUILTS.indexOf(guilt));
  const hours = 24 + u() * 120;
  const jobs = traffic(u, hours, 0.1 + 0.4 * u());
  const began = hours * (0.3 + 0.4 * u()) * HOUR;
  const guilty = accuse(u, guilt, jobs, began);
  const random = guilt === 'nobody' || guilt === 'job and chance';
  const rate = guilt === 'nobody' ? crashes / (hours * HOUR) : random ? 2 / (hours * HOUR) : 0;
  const entries = run(u, guilty.jobs, { until: hours * HOUR, rate, most: guilt === 'nobody' ? 1000 : crashes });
  const seen = entries.filter((entry) => entry.kind === 'crash').length;
  const until = entries.at(-1)?.at ?? 0;
  const killers = new Set(guilty.jobs.filter((job) => job.kills !== null).map((job) => job.identity.id));
  return {
    history: { since: 0, until: Math.max(until, 1), entries },
    guilt,
    truth: guilty.truth,
    crashes: seen,
    killers,
  };
}

function accuse(u: Chance, guilt: Guilt, jobs: Planned[], began: number): { jobs: Planned[]; truth: Story['truth'] } {
  const after = jobs.filter((job) => job.arrives > began);
  const kills = (1 + 20 * u()) * SECOND;
  const chosen = after[0];
  if (guilt === 'nobody' || chosen === undefined) return { jobs, truth: null };
  const kill = (job: Planned): Planned => ({
    ...job,
    takes: HOUR,
    kills: kills * (0.8 + 0.4 * u()),
    patience: guilt === 'document' ? 2 : NEVER,
  });
  if (guilt === 'driver') {
    const driver = chosen.identity.driver ?? '';
    const bad = jobs.map((job) => {
      return job.arrives > began && job.identity.driver === driver && u() < 0.6
        ? { ...job, kills: kills * (0.5 + u()) }
        : job;
    });
    return { jobs: bad, truth: { kind: 'driver', key: driver } };
  }
  if (guilt === 'document') {
    const again = after.filter((_, i) => i % 6 === 0).slice(0, 8);
    const bad = jobs.map((job) => {
      const identity = { ...job.identity, document: 'the plan', user: chosen.identity.user };
      return again.includes(job) ? kill({ ...job, identity }) : job;
    });
    return { jobs: bad, truth: { kind: 'document', key: 'the plan' } };
  }
  // Among others: long jobs run beside it and begin anew with every restart, as it does.
  const long = after.filter((job) => job.identity.queue !== chosen.identity.queue).slice(0, 2);
  const bad = jobs.map((job) => {
    if (job === chosen) return kill(job);
    const beside = guilt === 'job among others' && long.includes(job);
    return beside ? { ...job, arrives: chosen.arrives - 90 * SECOND, takes: 20 * 60 * SECOND } : job;
  });
  return { jobs: bad.sort((a, b) => a.arrives - b.arrives), truth: { kind: 'job', key: String(chosen.identity.id) } };
}

interface Limits {
  readonly until: number;
  /** Crashes a millisecond that nobody is to blame for. */
  readonly rate: number;
  readonly most: number;
}

interface Active {
  readonly job: Planned;
  readonly ends: number;
  readonly kills: number;
}

/** Three queues side by side, each one job after the other; a crash ends all, and what was in progress begins again. */
function run(u: Chance, jobs: readonly Planned[], { until, rate, most }: Limits): HistoryEntry[] {
  const entries: HistoryEntry[] = [];
  const lines = new Map(QUEUES.map((queue) => [queue, jobs.filter((job) => job.identity.queue === queue).reverse()]));
  const active = new Map<string, Active>();
  const tried = new Map<number, number>();
  let [clock, crashes] = [0, 0];
  let random = rate > 0 ? exponential(u, 1 / rate) : Number.POSITIVE_INFINITY;
  const begin = (at: number): void => {
    for (const [queue, line] of lines) {
      const job = line.at(-1);
      if (active.has(queue) || job === undefined || job.arrives > at) continue;
      line.pop();
      tried.set(job.identity.id, (tried.get(job.identity.id) ?? 0) + 1);
      active.set(queue, { job, ends: at + job.takes, kills: job.kills === null ? NEVER : at + job.kills });
      entries.push({ at, kind: 'job-start', job: job.identity });
    }
  };
  const crash = (): void => {
    crashes += 1;
    entries.push({ at: clock, kind: 'crash' });
    for (const [queue, { job }] of active) {
      const givenUp = job.kills !== null && (tried.get(job.identity.id) ?? 0) >= job.patience;
      if (!givenUp) lines.get(queue)?.push(job);
    }
    active.clear();
    clock += 60 * SECOND;
    if (random <= clock) random = clock + exponential(u, 1 / rate);
    entries.push({ at: clock, kind: 'service-start' });
  };
  while (clock < until && crashes < most) {
    begin(clock);
    const arrival = Math.min(
      ...[...lines].map(([queue, line]) => (active.has(queue) ? NEVER : (line.at(-1)?.arrives ?? NEVER))),
    );
    const end = Math.min(...[...active.values()].map((one) => one.ends), NEVER);
    const kill = Math.min(...[...active.values()].map((one) => one.kills), random);
    const next = Math.min(arrival, end, kill);
    if (next === NEVER) break;
    clock = next;
    if (kill <= Math.min(arrival, end)) {
      crash();
      continue;
    }
    for (const [queue, one] of active) {
      if (one.ends > clock) continue;
      active.delete(queue);
      entries.push({ at: clock, kind: 'job-end', job: one.job.identity });
    }
  }
  return entries;
}
