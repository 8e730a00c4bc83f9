import type { Evidence } from '../model/evidence.js';
import { numberOf } from './attributes.js';
import { from } from './fact.js';
import { resultOf } from './ipp.js';
import { type JobFact, mergedJobs, readJob } from './jobs.js';

/** The list of jobs that the printer itself keeps: what has left the computers and is not printed yet. */
export interface OwnJobsFact {
  readonly jobs: readonly JobFact[];
  readonly evidence: readonly string[];
}

/** Undefined when the printer gave no list of jobs. */
export function readOwnJobs(evidence: readonly Evidence[]): OwnJobsFact | undefined {
  const asked = from(evidence, 'ipp').filter((record) => record.about === 'target');
  const told = asked.filter((record) => record.what.startsWith('Get-Job') && resultOf(record) === 'ok');
  if (told.length === 0) return undefined;
  const read = asked.find((record) => record.what === 'Get-Printer-Attributes');
  const upTime = numberOf(read?.value?.attributes ?? {}, 'printer-up-time');
  const jobs = mergedJobs(told.flatMap((record) => record.value?.jobs ?? []));
  return { jobs: jobs.flatMap((job) => readJob(job, upTime) ?? []), evidence: told.map(({ id }) => id) };
}
