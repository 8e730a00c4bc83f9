import { type Evidence, isExchange, type SpoolerExchange } from '../model/evidence.js';
import { reportsOf } from '../printhost/report.js';
import { PRINTER_STATE_NAMES } from '../registry/ipp.generated.js';
import { booleanOf, keywordsOf, numberOf, reasonsOf, textOf, valuesOf } from './attributes.js';
import { readDevice } from './device-uri.js';
import { type Asked, from } from './fact.js';
import { stepOf } from './ipp.js';
import { type JobFact, mergedJobs, readJob } from './jobs.js';
import { queuesOfReport } from './print-host/queues.js';
import type { QueueFact } from './queue-fact.js';

export type { QueueFact } from './queue-fact.js';

/** What jobs that came out took here, in seconds: what is usual. */
export function usualSeconds({ ended }: Pick<QueueFact, 'ended'>): readonly number[] {
  return ended.flatMap((job) => (job.state === 'completed' && job.durationSeconds !== null ? job.durationSeconds : []));
}

/**
 * Begun, failed on the way and put back until the next try: Debian's spooler says so with the reason that RFC 8011 5.3.8 has for paper and
 * fonts that are wanting, and of no other job.
 */
export function waitsForNextTry(job: JobFact, { errorPolicy }: Pick<QueueFact, 'errorPolicy'>): boolean {
  const putBack = job.state === 'pending-held' && job.processingSeconds !== null && job.holdUntil === null;
  return putBack && errorPolicy === 'retry-job' && job.reasons.includes('resources-are-not-ready');
}

const STATES = new Set(['idle', 'processing', 'stopped']);

function stateName(code: number | null): QueueFact['state'] {
  const name = code === null ? undefined : PRINTER_STATE_NAMES[code];
  return name !== undefined && STATES.has(name) ? (name as QueueFact['state']) : null;
}

function refuses(record: SpoolerExchange, user: string | undefined): boolean {
  if (user === undefined) return false;
  const attributes = record.value?.attributes ?? {};
  // Spoolers compare names without regard to case (from memory).
  const namesOf = (list: string): string[] => valuesOf(attributes, list).map((name) => String(name).toLowerCase());
  const denied = namesOf('requesting-user-name-denied');
  const allowed = namesOf('requesting-user-name-allowed');
  const name = user.toLowerCase();
  // A name that begins with @ is a group of the spooler's host: nothing can be said of it from here.
  const onlyNames = allowed.length > 0 && allowed.every((one) => !one.startsWith('@') && one !== 'all');
  return denied.includes(name) || denied.includes('all') || (onlyNames && !allowed.includes(name));
}

function jobsOf(records: readonly SpoolerExchange[], upTime: number | null): JobFact[] {
  return mergedJobs(records.flatMap((r) => r.value?.jobs ?? [])).flatMap((job) => readJob(job, upTime) ?? []);
}

const ENDED = new Set(['canceled', 'aborted', 'completed']);

function readQueue(uri: string, records: readonly SpoolerExchange[], asked: Asked): QueueFact | null {
  const read = records.find((r) => r.what === 'Get-Printer-Attributes');
  if (!read) return null;
  const attributes = read.value?.attributes ?? {};
  const jobRecords = records.filter((r) => r.what.startsWith('Get-Job'));
  const jobs = jobsOf(jobRecords, numberOf(attributes, 'printer-up-time'));
  const validate = records.find((r) => r.what === 'Validate-Job');
  const members = valuesOf(attributes, 'member-names').map(String);
  // A class hands its jobs to its members: the device URI that it shows itself means nothing.
  const device = members.length > 0 ? null : readDevice(textOf(attributes, 'device-uri'), uri, asked);
  return {
    uri,
    name: textOf(attributes, 'printer-name') ?? lastSegment(uri),
    server: serverOf(uri),
    read: stepOf(read),
    validate: validate ? stepOf(validate) : null,
    state: stateName(numberOf(attributes, 'printer-state')),
    reasons: reasonsOf(attributes, 'printer-state-reasons'),
    message: textOf(attributes, 'printer-state-message'),
    accepting: booleanOf(attributes, 'printer-is-accepting-jobs'),
    device,
    refusesUser: refuses(read, asked.user),
    wantsSignIn: keywordsOf(attributes, 'auth-info-required').length > 0,
    formats: valuesOf(attributes, 'document-format-supported').map(String),
    jobs: jobs.filter((job) => !ENDED.has(job.state)),
    ended: jobs.filter((job) => ENDED.has(job.state)).sort((a, b) => b.id - a.id),
    members,
    errorPolicy: textOf(attributes, 'printer-error-policy'),
    operations: valuesOf(attributes, 'operations-supported').flatMap((v) => (typeof v === 'number' ? v : [])),
    driver: null,
    rights: null,
    evidence: { read: read.id, jobs: jobRecords.map((r) => r.id), device: device?.evidence ?? [] },
  };
}

function lastSegment(uri: string): string {
  const last = uri.split('/').at(-1) ?? uri;
  try {
    return decodeURIComponent(last);
  } catch {
    return last;
  }
}

function serverOf(uri: string): string {
  return /^[a-z]+:\/\/([^/]+)/i.exec(uri)?.[1] ?? uri;
}

/** Every print queue that was asked or that a report tells of, in the order of its first record. Undefined when there is none. */
export function readQueues(asked: Asked): readonly QueueFact[] | undefined {
  const records = from(asked.evidence as readonly Evidence[], 'spooler').filter(isExchange);
  const uris = [...new Set(records.map((r) => r.subject))];
  const queues = uris.flatMap((uri) => {
    const own = records.filter((r) => r.subject === uri);
    return readQueue(uri, own, asked) ?? [];
  });
  const all = [...queues, ...reportsOf(asked.evidence).flatMap((record) => queuesOfReport(record, asked))];
  return all.length > 0 ? all : undefined;
}
