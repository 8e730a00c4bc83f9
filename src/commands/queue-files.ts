import { readFile, stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { unreadable } from '../config/load.js';
import type { Observation } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import { eventsObservation, type FileReading, reportObservation } from '../printhost/observation.js';
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
  const at = io.now().toISOString();
  const read = async (what: string, name: string, reading: (text: string) => FileReading): Promise<Observation> => {
    const file = resolve(io.cwd, name);
    const outcome = reading(await textOf(file));
    if ('wrong' in outcome) throw broken(what, file, outcome.wrong);
    return outcome.record;
  };
  return [
    ...(report === undefined ? [] : [await read('print host report', report, (text) => reportObservation(text, at))]),
    ...(events === undefined ? [] : [await read('events', events, (text) => eventsObservation(text, events, at))]),
  ];
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
