import type { Facts } from '../../facts/facts.js';
import type { JobFact } from '../../facts/jobs.js';
import { type QueueFact, usualSeconds, waitsForNextTry } from '../../facts/queues.js';
import type { Finding } from '../../model/layers.js';
import { unusuallyLong } from '../../queues/waiting.js';

/**
 * A page rarely takes longer to send, however large: common practice, no published source. It counts where too few jobs
 * have come out to know what is usual here.
 */
const STUCK_SECONDS = 300;

/**
 * What a spooler says when the device does not take the job. Wording differs between versions, so it only shortens the
 * wait before a job counts as stuck, and is never the only proof.
 */
const UNREACHABLE = /unable to locate|may not exist|not responding|unavailable|unreachable|no route|timed out/i;
const HINTED_SECONDS = 20;

/** The job at the head, or one that was sent in vain and waits for its next try while the others pass it. */
function active(queue: QueueFact): JobFact | undefined {
  return queue.jobs.find((job) => job.state === 'processing') ?? queue.jobs.find((job) => waitsForNextTry(job, queue));
}

/** A class is idle while none of its members has taken the job: they are stopped or closed, or have been busy with jobs of their own. */
function untaken({ state, members, jobs }: QueueFact): JobFact | undefined {
  if (state !== 'idle' || members.length === 0) return undefined;
  return jobs.find((job) => job.state === 'pending' && job.holdUntil === null);
}

/**
 * How long the job has been tried. A spooler that sends it anew at once, in front of all others, begins its time of processing anew too:
 * nothing came out since the job was made, so it is the one that was tried.
 */
function triedSeconds(job: JobFact, queue: QueueFact): number {
  const waiting = job.waitingSeconds ?? 0;
  const alone = queue.ended.every(({ endedSeconds }) => endedSeconds !== null && endedSeconds > waiting);
  if (job.state === 'pending') return waiting;
  const anew = waitsForNextTry(job, queue) || (queue.errorPolicy === 'retry-current-job' && alone);
  return anew ? waiting : (job.processingSeconds ?? 0);
}

/**
 * The head job makes no progress while the printer itself is well: the queue holds everybody up. Behind a printer that
 * is stopped or silent a waiting job is a consequence, not a fault of its own.
 */
export function stuckFinding(queue: QueueFact, { condition, life }: Pick<Facts, 'condition' | 'life'>): Finding[] {
  const job = active(queue) ?? untaken(queue);
  if (!job || queue.state === 'stopped' || queue.device?.leadsHere === false) return [];
  const printerWaits = condition?.stopped === true || life?.alive === false || condition?.word.printing === true;
  if (printerWaits) return [];
  const seconds = triedSeconds(job, queue);
  const hinted = waitsForNextTry(job, queue) || (queue.message !== null && UNREACHABLE.test(queue.message));
  const services = usualSeconds(queue);
  const unusual = unusuallyLong(services) ?? STUCK_SECONDS;
  if (seconds < (hinted ? Math.min(HINTED_SECONDS, unusual) : unusual)) return [];
  return [
    {
      cause: 'head-job-stuck',
      severity: 'fault',
      certainty: job.state === 'pending' ? 'possible' : 'likely',
      component: queue.name,
      detail: {
        queue: queue.name,
        job: String(job.id),
        since: spanWords(seconds) + howWords(job, queue, seconds),
        ...(job.user ? { user: job.user } : {}),
        ...(queue.message ? { said: queue.message } : {}),
      },
      evidence: [queue.evidence.read, ...queue.evidence.jobs],
    },
  ];
}

function spanWords(seconds: number): string {
  return seconds < 120 ? `${Math.round(seconds)} s` : `${Math.round(seconds / 60)} min`;
}

function howWords(job: JobFact, queue: QueueFact, seconds: number): string {
  if (job.state === 'pending') return `, taken by none of the queues ${queue.members.join(', ')}`;
  const anew = seconds > (job.processingSeconds ?? 0) || waitsForNextTry(job, queue);
  return anew ? ', sent again and again in vain' : usualWords(usualSeconds(queue));
}

function usualWords(services: readonly number[]): string {
  if (unusuallyLong(services) === null) return '';
  const sorted = [...services].sort((a, b) => a - b);
  const [median = 0, longest = 0] = [sorted[Math.floor(sorted.length / 2)], sorted.at(-1)];
  return ` (usual here: ${spanWords(median)}, ${spanWords(longest)} at most)`;
}
