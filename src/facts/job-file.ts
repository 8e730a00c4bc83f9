import type { Evidence } from '../model/evidence.js';
import { readSniffed, type Sniffed } from '../wire/job/sniff.js';
import { from } from './fact.js';
import { cleanTextOrNull } from './printer/clean-text.js';

export interface JobFileFact {
  readonly name: string;
  /** Octets of the whole file. */
  readonly bytes: number;
  readonly sniffed: Sniffed;
  readonly evidence: readonly string[];
}

/** The job file that a person handed over. Undefined when there is none, or what was kept of it can't be read. */
export function readJobFile(evidence: readonly Evidence[]): JobFileFact | undefined {
  const record = from(evidence, 'history').findLast((r) => r.what === 'job-file');
  const sniffed = readSniffed(record?.value?.sniffed);
  if (!record?.value || sniffed === undefined) return undefined;
  const { name, bytes } = record.value;
  return {
    name: (typeof name === 'string' ? cleanTextOrNull(name) : null) ?? 'the job file',
    bytes: typeof bytes === 'number' && Number.isSafeInteger(bytes) && bytes >= 0 ? bytes : 0,
    sniffed,
    evidence: [record.id],
  };
}
