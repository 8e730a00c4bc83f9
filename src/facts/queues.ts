import type { Evidence, SpoolerEvidence } from '../model/evidence.js';
import { PRINTER_STATE_NAMES } from '../registry/ipp.generated.js';
import { booleanOf, keywordsOf, numberOf, textOf, valuesOf } from './attributes.js';
import { type DeviceFact, readDevice } from './device-uri.js';
import { type Asked, from } from './fact.js';
import { type IppStep, stepOf } from './ipp.js';
import { type JobFact, readJob } from './jobs.js';

export interface QueueFact {
  readonly uri: string;
  readonly name: string;
  readonly server: string;
  /** How the spooler took Get-Printer-Attributes. */
  readonly read: IppStep;
  readonly validate: IppStep | null;
  readonly state: 'idle' | 'processing' | 'stopped' | null;
  readonly reasons: readonly string[];
  readonly message: string | null;
  readonly accepting: boolean | null;
  readonly device: DeviceFact | null;
  /** Names a user who may not print here, when one was asked for. */
  readonly refusesUser: boolean;
  readonly wantsSignIn: boolean;
  readonly formats: readonly string[];
  /** Not completed, in the order the spooler gives: the head first. */
  readonly jobs: readonly JobFact[];
  /** Ended jobs, newest first. */
  readonly ended: readonly JobFact[];
  readonly evidence: { readonly read: string; readonly jobs: readonly string[]; readonly device: readonly string[] };
}

const STATES = new Set(['idle', 'processing', 'stopped']);

function stateName(code: number | null): QueueFact['state'] {
  const name = code === null ? undefined : PRINTER_STATE_NAMES[code];
  return name !== undefined && STATES.has(name) ? (name as QueueFact['state']) : null;
}

function refuses(record: SpoolerEvidence, user: string | undefined): boolean {
  if (user === undefined) return false;
  const attributes = record.value?.attributes ?? {};
  const denied = valuesOf(attributes, 'requesting-user-name-denied').map(String);
  const allowed = valuesOf(attributes, 'requesting-user-name-allowed').map(String);
  // A name that begins with @ is a group of the spooler's host: nothing can be said of it from here.
  const onlyNames = allowed.length > 0 && allowed.every((name) => !name.startsWith('@') && name !== 'all');
  return denied.includes(user) || denied.includes('all') || (onlyNames && !allowed.includes(user));
}

function jobsOf(records: readonly SpoolerEvidence[], upTime: number | null): JobFact[] {
  return records.flatMap((r) => r.value?.jobs ?? []).flatMap((job) => readJob(job, upTime) ?? []);
}

const ENDED = new Set(['canceled', 'aborted', 'completed']);

function readQueue(uri: string, records: readonly SpoolerEvidence[], asked: Asked): QueueFact | null {
  const read = records.find((r) => r.what === 'Get-Printer-Attributes');
  if (!read) return null;
  const attributes = read.value?.attributes ?? {};
  const jobRecords = records.filter((r) => r.what.startsWith('Get-Jobs'));
  const jobs = jobsOf(jobRecords, numberOf(attributes, 'printer-up-time'));
  const validate = records.find((r) => r.what === 'Validate-Job');
  const device = readDevice(textOf(attributes, 'device-uri'), uri, asked);
  return {
    uri,
    name: textOf(attributes, 'printer-name') ?? lastSegment(uri),
    server: serverOf(uri),
    read: stepOf(read),
    validate: validate ? stepOf(validate) : null,
    state: stateName(numberOf(attributes, 'printer-state')),
    reasons: keywordsOf(attributes, 'printer-state-reasons'),
    message: textOf(attributes, 'printer-state-message'),
    accepting: booleanOf(attributes, 'printer-is-accepting-jobs'),
    device,
    refusesUser: refuses(read, asked.user),
    wantsSignIn: keywordsOf(attributes, 'auth-info-required').length > 0,
    formats: valuesOf(attributes, 'document-format-supported').map(String),
    jobs: jobs.filter((job) => !ENDED.has(job.state)),
    ended: jobs.filter((job) => ENDED.has(job.state)).sort((a, b) => b.id - a.id),
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

/** Every print queue that was asked, in the order of its first record. Undefined when none was. */
export function readQueues(asked: Asked): readonly QueueFact[] | undefined {
  const records = from(asked.evidence as readonly Evidence[], 'spooler');
  const uris = [...new Set(records.map((r) => r.subject))];
  const queues = uris.flatMap((uri) => {
    const own = records.filter((r) => r.subject === uri);
    return readQueue(uri, own, asked) ?? [];
  });
  return queues.length > 0 ? queues : undefined;
}
