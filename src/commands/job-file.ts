import type { FileHandle } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import { openGiven, unreadable } from '../config/given-file.js';
import type { Evidence } from '../model/evidence.js';
import type { EvidenceBundle } from '../model/why.js';
import { MOST_JOB_OCTETS, sniff } from '../wire/job/sniff.js';

/** Name, size and beginning of a job file. */
export interface JobFile {
  readonly name: string;
  readonly bytes: number;
  readonly head: Uint8Array;
}

/** Of any length: only its beginning is read. */
const MEANT = { what: 'the job file', mostBytes: Number.POSITIVE_INFINITY, than: '' };

/** Reads at most the first 64 KiB of a job file, and its size. ProgramProblem with one sentence when that can't be done. */
export async function readJob(name: string, cwd: string): Promise<JobFile> {
  const file = resolve(cwd, name);
  const { handle, bytes } = await openGiven(file, MEANT);
  try {
    return { name: basename(file), bytes, head: await firstOctets(handle) };
  } catch (error) {
    throw unreadable(MEANT.what, file, error);
  } finally {
    await handle.close();
  }
}

async function firstOctets(handle: FileHandle): Promise<Uint8Array> {
  const store = new Uint8Array(MOST_JOB_OCTETS);
  let filled = 0;
  for (;;) {
    const { bytesRead } = await handle.read(store, filled, store.length - filled, filled);
    filled += bytesRead;
    if (bytesRead === 0 || filled === store.length) return store.subarray(0, filled);
  }
}

/** The bundle with what was found out about a job file, in the place of an earlier one. None of its content is kept. */
export function withJobFile(bundle: EvidenceBundle, { name, bytes, head }: JobFile, at: string): EvidenceBundle {
  const kept = bundle.evidence.filter((record) => record.source !== 'history' || record.what !== 'job-file');
  const last = Math.max(0, ...bundle.evidence.map((record) => Number(/^e(\d+)$/.exec(record.id)?.[1] ?? 0)));
  const record: Evidence = {
    id: `e${last + 1}`,
    source: 'history',
    what: 'job-file',
    about: 'self',
    subject: name,
    outcome: 'answered',
    value: { name, bytes, sniffed: sniff(head) },
    at,
    tookMs: 0,
  };
  return { ...bundle, evidence: [...kept, record] };
}
