import type { Facts } from '../../facts/facts.js';
import type { JobFact } from '../../facts/jobs.js';
import { type QueueFact, waitsForNextTry } from '../../facts/queues.js';
import type { Certainty, Finding, LayerJudgement, Severity } from '../../model/layers.js';
import { heldHow } from './held.js';
import { waitsForMedia } from './media.js';
import { heldInPrinter, ownListWords } from './own-list.js';
import { poisonFindings } from './poison.js';

type Needs = Pick<Facts, 'queues' | 'condition' | 'printHost' | 'ownJobs'>;

/** An aborted job older than this is history, not today's complaint. */
const RECENT_SECONDS = 6 * 3600;

const FILTER =
  /filter-(crashed|missing|failed)|missing-filter|completed-with-errors|document-format-error|unsupported-document/;
/** Given up while it is still listed: Windows keeps such a job in its queue. */
const ABORTING = /^(document-unprintable-error|job-aborted-by-system|aborted-by-system)$/;
const SIGN_IN = /held-for-authentication|auth-info-required|account-authorization|^job-password-wait$/;
/** PWG 5100.11: the code is entered at the printer, not at a computer. */
const BY_CODE = /^job-password-wait$/;
/** A proof that its owner approves (PWG 5100.11). */
const PROOF = /^job-release-wait$/;

const has = (job: JobFact, pattern: RegExp): boolean => job.reasons.some((reason) => pattern.test(reason));

function finding(
  queue: QueueFact,
  job: JobFact,
  cause: string,
  certainty: Certainty = 'sure',
  severity: Severity = 'fault',
): Finding {
  return {
    cause,
    severity,
    certainty,
    component: `job ${job.id}`,
    detail: {
      queue: queue.name,
      job: String(job.id),
      ...(job.user ? { user: job.user } : {}),
      ...(job.message ? { said: job.message } : {}),
      ...(job.media ? { expected: job.media } : {}),
      ...(cause === 'job-held' ? { how: heldHow(job, queue) } : {}),
      ...(has(job, BY_CODE) ? { wants: 'its code, entered at the printer,' } : {}),
      ...(job.waitingSeconds === null ? {} : { since: `${Math.max(1, Math.round(job.waitingSeconds / 60))} min` }),
    },
    evidence: queue.evidence.jobs,
  };
}

/** Jobs that stand still for a reason of their own. */
function standing(queue: QueueFact): Finding[] {
  const moving = queue.jobs.some((job) => job.state === 'pending' || job.state === 'processing');
  return queue.jobs.flatMap((job): Finding[] => {
    if (has(job, SIGN_IN) || job.holdUntil === 'auth-info-required') return [finding(queue, job, 'job-needs-sign-in')];
    // What keeps it from being sent is a matter of the queue and the printer.
    if (waitsForNextTry(job, queue)) return [];
    if (waitsForMedia(job, queue)) return [finding(queue, job, 'job-waits-for-media', 'likely')];
    // It has not ended: a print host marks a job so, too, while the way to the printer fails and it will try again.
    if (has(job, ABORTING)) return [finding(queue, job, 'job-aborted', 'likely')];
    const filter = has(job, FILTER) || queue.reasons.some((r) => FILTER.test(r));
    if (job.state === 'processing-stopped' && filter) return [finding(queue, job, 'filter-failed')];
    if (job.state === 'pending-held' || has(job, PROOF))
      return [finding(queue, job, 'job-held', 'sure', moving ? 'warning' : 'fault')];
    return [];
  });
}

/** The last job that ended was given up by the system, and none has come out since. */
function aborted(queue: QueueFact): Finding[] {
  const last = queue.ended.find((job) => job.state !== 'canceled');
  if (last?.state !== 'aborted' || (last.endedSeconds ?? last.waitingSeconds ?? 0) > RECENT_SECONDS) return [];
  return [finding(queue, last, has(last, FILTER) ? 'filter-failed' : 'job-aborted', 'likely')];
}

/** One finding for a cause and queue: ten held jobs are one matter. */
function once(findings: readonly Finding[]): Finding[] {
  return findings.filter(
    (f, i) => findings.findIndex((o) => o.cause === f.cause && o.detail?.queue === f.detail?.queue) === i,
  );
}

/** Job: what stands in the queues and in the printer, and how the last one ended. */
export function judge({ queues, printHost, ownJobs }: Needs): LayerJudgement {
  const poison = printHost ? poisonFindings(printHost) : [];
  const read = (queues ?? []).filter((q) => q.evidence.jobs.length > 0 && q.read.result === 'ok');
  const own = heldInPrinter(ownJobs, read);
  if (read.length === 0) {
    const summary = ownJobs === undefined ? 'No job list could be read.' : ownListWords(ownJobs);
    return { findings: [...poison, ...own], clearedBy: [], summary };
  }
  const findings = [...poison, ...own, ...once(read.flatMap((queue) => [...standing(queue), ...aborted(queue)]))];
  const waiting = read.reduce((sum, q) => sum + q.jobs.length, 0);
  const summary =
    waiting === 0 ? 'No job waits.' : `${waiting} ${waiting === 1 ? 'job waits' : 'jobs wait'}, none of them stuck.`;
  return { findings, clearedBy: read.flatMap((q) => q.evidence.jobs), summary };
}
