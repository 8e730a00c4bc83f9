import type { JobFact } from '../../facts/jobs.js';
import type { QueueFact } from '../../facts/queues.js';

/** Reasons of the job itself (RFC 8011 5.3.8) and of its printer as the queue passes them on (5.4.12). */
const OF_JOB = /resources-are-not-ready|media-needed|media-empty|waiting-for-media/;
const OF_PRINTER = /^media-(needed|empty)(-error|-report)?$/;

/**
 * A job that waits for paper: it says so itself, or it is the one in progress on a queue whose printer says so. A warning
 * that some tray is empty stops no job.
 */
export function waitsForMedia(job: JobFact, queue: QueueFact): boolean {
  if (job.reasons.some((reason) => OF_JOB.test(reason))) return true;
  const atWork = job.state === 'processing' || job.state === 'processing-stopped';
  return atWork && queue.reasons.some((reason) => OF_PRINTER.test(reason));
}
