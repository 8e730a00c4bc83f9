import type { JobFact } from '../../facts/jobs.js';
import type { QueueFact } from '../../facts/queues.js';

/**
 * Named times of job-hold-until (RFC 8011 5.2.2); a time of day is common practice.
 */
const NAMED: Readonly<Record<string, string>> = {
  indefinite: 'until somebody releases it',
  'day-time': 'until the day',
  evening: 'until the evening',
  night: 'until the night',
  weekend: 'until the weekend',
  'second-shift': 'until the second shift',
  'third-shift': 'until the third shift',
};

/** Until when a job is held, and by whom where that can be told. */
export function heldHow({ holdUntil, reasons }: JobFact, queue: Pick<QueueFact, 'reasons'>): string {
  if (reasons.includes('job-held-by-service')) return 'until the print service releases it';
  if (reasons.includes('job-password-wait')) return 'until its code is entered at the printer';
  if (reasons.includes('job-release-wait')) return 'until its owner releases it at the printer';
  const queueHolds = queue.reasons.includes('hold-new-jobs') ? ', as this queue holds all new jobs' : '';
  if (holdUntil === null) return `until somebody releases it${queueHolds}`;
  const named = Object.hasOwn(NAMED, holdUntil) ? NAMED[holdUntil] : undefined;
  return `${named ?? `until ${holdUntil}`}${queueHolds}`;
}
