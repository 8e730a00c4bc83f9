import type { JobFact } from '../../facts/jobs.js';
import type { OwnJobsFact } from '../../facts/own-jobs.js';
import type { QueueFact } from '../../facts/queues.js';
import type { Finding } from '../../model/layers.js';
import { heldHow } from './held.js';

/** A code that its owner enters at the printer, or a proof that he approves (PWG 5100.11). */
const OWNERS_TURN = /^job-(password|release)-wait$/;

const stands = ({ state, reasons }: JobFact): boolean =>
  state === 'pending-held' || reasons.some((reason) => OWNERS_TURN.test(reason));

/**
 * A job on hold in the printer's own list. Printers keep jobs for their owners on purpose and print those of others meanwhile, so
 * this stops nothing; to whoever waits for that one job it is the answer. Where a queue tells of held jobs its finding serves.
 */
export function heldInPrinter(own: OwnJobsFact | undefined, queues: readonly QueueFact[]): Finding[] {
  const job = own?.jobs.find(stands);
  if (own === undefined || job === undefined || queues.some((queue) => queue.jobs.some(stands))) return [];
  const minutes = job.waitingSeconds === null ? null : Math.max(1, Math.round(job.waitingSeconds / 60));
  return [
    {
      cause: 'job-held',
      severity: 'warning',
      certainty: 'sure',
      component: `job ${job.id}`,
      detail: {
        job: String(job.id),
        ...(job.user ? { user: job.user } : {}),
        ...(minutes === null ? {} : { since: `${minutes} min` }),
        meanwhile: `in the printer itself, ${heldHow(job, { reasons: [] })}`,
      },
      evidence: own.evidence,
    },
  ];
}

/** Where no queue was read: what the printer's own list holds. What waits in a computer does not show in it. */
export function ownListWords({ jobs }: OwnJobsFact): string {
  const held = jobs.length === 0 ? 'no job' : jobs.length === 1 ? '1 job' : `${jobs.length} jobs`;
  return `The printer’s own list holds ${held}; what waits in a queue before it was not read.`;
}
