import { resolve } from 'node:path';
import { readGiven } from '../config/given-file.js';
import type { Observation } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import { eventsObservation, type FileReading, reportObservation } from '../printhost/observation.js';
import { textOfFile } from '../printhost/text.js';
import type { Io } from './io.js';

/** A report with the events of weeks; more than this is something else. */
const MEANT = { what: '', mostBytes: 128_000_000, than: 'any report' };

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
    const outcome = reading(textOfFile(await readGiven(file, MEANT)));
    if ('wrong' in outcome) throw broken(what, file, outcome.wrong);
    return outcome.record;
  };
  return [
    ...(report === undefined ? [] : [await read('print host report', report, (text) => reportObservation(text, at))]),
    ...(events === undefined ? [] : [await read('events', events, (text) => eventsObservation(text, events, at))]),
  ];
}

function broken(what: string, file: string, why: string): ProgramProblem {
  return new ProgramProblem('queue-file', `Can't read the ${what} in ${file}: ${why}.`);
}
