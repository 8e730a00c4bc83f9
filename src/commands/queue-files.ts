import { readFile, stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { unreadable } from '../config/load.js';
import type { Evidence, Observation } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import type { EvidenceBundle } from '../model/why.js';
import { readEventXml } from '../printhost/event-xml.js';
import { readPrintHostReport } from '../printhost/report.js';
import { textOfFile } from '../printhost/text.js';
import type { Io } from './io.js';

/** A report with the events of weeks; more than this is something else. */
const MOST_BYTES = 128_000_000;

export interface QueueFiles {
  /** The collector's JSON. */
  readonly report?: string;
  /** An export of events as XML. */
  readonly events?: string;
}

/** Reads the files of `--queue-report` and `--events` as evidence. ProgramProblem for one that can't be read or is something else. */
export async function filesAsEvidence({ report, events }: QueueFiles, io: Io): Promise<readonly Observation[]> {
  return [
    ...(report === undefined ? [] : [await reportEvidence(report, io)]),
    ...(events === undefined ? [] : [await eventEvidence(events, io)]),
  ];
}

/** A bundle with more records at its end. */
export function withEvidence(bundle: EvidenceBundle, more: readonly Observation[]): EvidenceBundle {
  const taken = bundle.evidence.length;
  const numbered = more.map((record, index) => ({ ...record, id: `e${taken + index + 1}` }) as Evidence);
  return more.length === 0 ? bundle : { ...bundle, evidence: [...bundle.evidence, ...numbered] };
}

async function reportEvidence(name: string, io: Io): Promise<Observation> {
  const file = resolve(io.cwd, name);
  const reading = readPrintHostReport(await textOf(file));
  if ('wrong' in reading) throw broken('print host report', file, reading.wrong);
  const { report } = reading;
  return {
    ...record('print-host report', report.host, io),
    at: new Date(report.madeAt).toISOString(),
    value: { kind: 'report', report },
  };
}

async function eventEvidence(name: string, io: Io): Promise<Observation> {
  const file = resolve(io.cwd, name);
  const reading = readEventXml(await textOf(file));
  if ('wrong' in reading) throw broken('events', file, reading.wrong);
  return { ...record('event export', name, io), value: { kind: 'events', ...reading } };
}

function record(what: string, subject: string, io: Io) {
  const at = io.now().toISOString();
  return { source: 'spooler', what, about: 'queue', subject, outcome: 'answered', at, tookMs: 0 } as const;
}

async function textOf(file: string): Promise<string> {
  try {
    const { size } = await stat(file);
    if (size > MOST_BYTES) throw broken('file', file, `it is larger than any report (${size} bytes)`);
    return textOfFile(await readFile(file));
  } catch (error) {
    throw error instanceof ProgramProblem ? error : unreadable('', file, error);
  }
}

function broken(what: string, file: string, why: string): ProgramProblem {
  return new ProgramProblem('queue-file', `Can't read the ${what} in ${file}: ${why}.`);
}
