import type { Facts } from '../facts/facts.js';
import type { JobFact } from '../facts/jobs.js';
import { type QueueFact, usualSeconds } from '../facts/queues.js';
import type { Clearing, QueuedJob, QueueEntry, QueueFinding } from '../model/queue.js';
import { type Waiting, waitingOf } from '../queues/waiting.js';
import { queueFindings } from './queue-findings.js';
import { routeTest } from './route-test.js';

/** What an entry is made of. */
export interface QueueReading {
  readonly queue: QueueFact;
  /** What is known of the printer behind it, where it is known. */
  readonly facts: Facts;
  readonly leadsTo: string | null;
  readonly user: string | null;
  /** What stops the printer behind it. */
  readonly printer: QueueFinding | null;
}

/** One queue as the document tells of it. */
export function queueEntry({ queue, facts, leadsTo, user, printer }: QueueReading): QueueEntry {
  const findings = [...(printer === null ? [] : [printer]), ...queueFindings(queue, facts)];
  const waiting = waitingFor(queue);
  const block = blockOf(queue, findings, facts);
  return {
    uri: queue.uri,
    name: queue.name,
    server: queue.server,
    state: queue.state,
    reasons: queue.reasons,
    message: queue.message,
    accepting: queue.accepting,
    deviceUri: queue.device === null ? null : withoutSecret(queue.device.uri),
    leadsTo,
    members: queue.members,
    jobs: queue.jobs.map(jobOf),
    expectedWaitSeconds: block === null && queue.read.result === 'ok' ? waiting.expectedSeconds : null,
    clears: clearing(queue, waiting, block),
    route: routeTest(queue, facts, user),
    rights: queue.rights,
    findings,
  };
}

function jobOf(job: JobFact): QueuedJob {
  return {
    id: job.id,
    state: job.state,
    reasons: job.reasons,
    name: job.name,
    user: job.user,
    kOctets: job.kOctets,
    createdAt: job.createdAt,
    waitingSeconds: job.waitingSeconds,
    processingSeconds: job.state === 'pending' ? null : job.processingSeconds,
    format: job.format,
    impressions: job.impressions,
  };
}

function waitingFor(queue: QueueFact): Waiting {
  const head = queue.jobs.find((job) => job.state === 'processing');
  const known = [...queue.jobs, ...queue.ended];
  return waitingOf({
    serviceSeconds: usualSeconds(queue),
    arrivedSecondsAgo: known.flatMap((job) => job.waitingSeconds ?? []),
    pending: queue.jobs.filter((job) => job.state === 'pending').length,
    inProgressSeconds: head === undefined ? null : (head.processingSeconds ?? 0),
  });
}

/** What keeps the queue from emptying: a fault that somebody must mend, or the printer itself. Null: nothing known. */
function blockOf(queue: QueueFact, findings: readonly QueueFinding[], { condition }: Facts): string | null {
  const fault = findings.find(({ severity, layer }) => severity === 'fault' && layer !== 'access');
  // A job on hold of its own keeps nobody else waiting.
  const others =
    fault !== undefined && (fault.layer === 'queue' || !['job-held', 'job-needs-sign-in'].includes(fault.cause));
  if (fault !== undefined && others) return `not before this is mended: ${fault.cause}`;
  if (condition?.stopped === true) return 'not before the printer itself is mended: it has stopped';
  return queue.state === 'stopped' ? 'not before somebody resumes the queue' : null;
}

function clearing(queue: QueueFact, waiting: Waiting, block: string | null): Clearing {
  const moving = queue.jobs.filter((job) => job.state !== 'pending-held').length;
  if (queue.read.result !== 'ok') return { byItself: null, inSeconds: null, because: 'the queue could not be read' };
  if (moving === 0) return { byItself: true, inSeconds: 0, because: 'nothing waits for its turn' };
  if (block !== null) return { byItself: false, inSeconds: null, because: block };
  if (waiting.expectedSeconds === null) {
    const because =
      waiting.usualServiceSeconds === null
        ? 'too few finished jobs tell how long one takes here'
        : 'the job in progress takes longer than any before it';
    return { byItself: null, inSeconds: null, because };
  }
  if (waiting.clearsInSeconds === null) {
    return { byItself: false, inSeconds: null, because: 'more comes in than is printed' };
  }
  const mean = Math.round(waiting.usualServiceSeconds ?? 0);
  return {
    byItself: true,
    inSeconds: waiting.clearsInSeconds,
    because: `a job takes ${mean} s here on average${loadWords(waiting.load)}`,
  };
}

function loadWords(load: number | null): string {
  return load === null ? '' : `, and the printer is busy ${Math.round(load * 100)} % of the time`;
}

/** A device URI may carry a name and a password before the `@` (RFC 3986 3.2.1). */
function withoutSecret(uri: string): string {
  return uri.replace(/^([a-z][a-z0-9+.-]*:\/\/)[^/?#]*@/i, '$1');
}
