import type { Accused } from './crash-loop.js';
import type { JobIdentity } from './exposure.js';

/** A job with what is known of it: `job 41, "letter" of mira`. */
export function jobWords({ id, document, user }: JobIdentity): string {
  const title = document === null ? '' : `, "${document}"`;
  return `job ${id}${title}${user === null ? '' : ` of ${user}`}`;
}

/** Who is accused, in words. */
export function accusedWords({ kind, job }: Accused): string {
  if (kind === 'document') return `the document "${job.document ?? ''}"`;
  if (kind === 'driver') return `the driver ${job.driver ?? ''}`;
  if (kind === 'format') return `jobs in the format ${job.format ?? ''}`;
  return kind === 'user' ? `the jobs of ${job.user ?? ''}` : jobWords(job);
}
