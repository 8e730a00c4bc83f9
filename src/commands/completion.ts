import { readFile } from 'node:fs/promises';
import { EXIT, type ExitCode } from '../model/problem.js';
import type { Io } from './io.js';
import { COMPLETION_FILES, type Shell } from './shells.js';

/** Prints the completion of one shell, as it came with the package. */
export async function runCompletion(shell: Shell, io: Io): Promise<ExitCode> {
  const file = new URL(`../../shared/completion/${COMPLETION_FILES[shell]}`, import.meta.url);
  io.stdout(await readFile(file, 'utf8'));
  return EXIT.nothingWrong;
}
