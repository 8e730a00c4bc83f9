import type { QueueFact } from '../../facts/queues.js';

/**
 * Who stopped a queue, where that can be told. A queue that stopped itself over a failed transfer was seen to say nothing beside
 * `paused`, its job back to pending with `printer-stopped`; one that somebody paused carries a message, and its jobs none.
 */
export function pausedHow(queue: QueueFact): string {
  if (queue.reasons.includes('offline')) return 'is set to work offline';
  const begun = queue.jobs.find((job) => job.state !== 'pending-held' && job.reasons.includes('printer-stopped'));
  if (queue.message === null && begun !== undefined) return `stopped itself when job ${begun.id} could not be sent`;
  if (begun !== undefined) return `was paused while job ${begun.id} was under way`;
  return queue.message === null ? 'is paused' : 'was paused by somebody';
}
