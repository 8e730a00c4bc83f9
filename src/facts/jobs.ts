import type { IppAttributes } from '../model/evidence.js';
import { JOB_STATE_NAMES } from '../registry/ipp.generated.js';
import { numberOf, reasonsOf, textOf } from './attributes.js';

export interface JobFact {
  readonly id: number;
  /** job-state keyword (RFC 8011 5.3.7). */
  readonly state: string;
  readonly reasons: readonly string[];
  readonly name: string | null;
  readonly user: string | null;
  readonly kOctets: number | null;
  readonly format: string | null;
  /** job-hold-until, when it is not `no-hold`. */
  readonly holdUntil: string | null;
  readonly message: string | null;
  readonly waitingSeconds: number | null;
  readonly processingSeconds: number | null;
  /** Seconds since it was completed, aborted or canceled. */
  readonly endedSeconds: number | null;
  /** Seconds from the start of its processing to its end; null for a job that has not ended or never began. */
  readonly durationSeconds: number | null;
  /** `media` keyword that it asks for. */
  readonly media: string | null;
  readonly impressions: number | null;
  readonly createdAt: string | null;
}

/**
 * job-name of an unclean job may come with two values, the second being the spooler's stand-in; the first is kept and
 * escaped where it is shown.
 */
function since(now: number | null, then: number | null): number | null {
  return now !== null && then !== null && then > 0 && now >= then ? now - then : null;
}

/** A time in seconds since 1970 as ISO 8601; null for a time that counts from a printer's start (RFC 8011 5.3.14). */
function isoOf(seconds: number | null): string | null {
  const EARLIEST = 946_684_800;
  return seconds !== null && seconds > EARLIEST ? new Date(seconds * 1000).toISOString() : null;
}

/** Each job once, in the order of its first listing: what was asked of it alone (Get-Job-Attributes) fills up what a list told. */
export function mergedJobs(jobs: readonly IppAttributes[]): readonly IppAttributes[] {
  const byId = new Map<number | IppAttributes, IppAttributes>();
  for (const job of jobs) {
    const key = numberOf(job, 'job-id') ?? job;
    byId.set(key, { ...byId.get(key), ...job });
  }
  return [...byId.values()];
}

/**
 * One job of a Get-Jobs reply. Times are in the unit of printer-up-time of the same server (RFC 8011 5.3.14), seconds.
 */
export function readJob(attributes: IppAttributes, upTime: number | null): JobFact | null {
  const id = numberOf(attributes, 'job-id');
  if (id === null) return null;
  const now = numberOf(attributes, 'job-printer-up-time') ?? upTime;
  const state = numberOf(attributes, 'job-state');
  const hold = textOf(attributes, 'job-hold-until');
  const created = numberOf(attributes, 'time-at-creation');
  const [began, completed] = [numberOf(attributes, 'time-at-processing'), numberOf(attributes, 'time-at-completed')];
  return {
    id,
    state: state === null ? 'unknown' : (JOB_STATE_NAMES[state] ?? String(state)),
    reasons: reasonsOf(attributes, 'job-state-reasons'),
    name: textOf(attributes, 'job-name'),
    user: textOf(attributes, 'job-originating-user-name'),
    kOctets: numberOf(attributes, 'job-k-octets'),
    format: textOf(attributes, 'document-format') ?? textOf(attributes, 'document-format-supplied'),
    holdUntil: hold === 'no-hold' ? null : hold,
    message: textOf(attributes, 'job-printer-state-message') ?? textOf(attributes, 'job-state-message'),
    waitingSeconds: since(now, created),
    processingSeconds: since(now, began),
    endedSeconds: since(now, completed),
    durationSeconds: since(completed, began),
    media: textOf(attributes, 'media'),
    impressions: numberOf(attributes, 'job-impressions'),
    createdAt: isoOf(created),
  };
}
