import { randomBytes } from 'node:crypto';
import { rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';

/** Writes the page that `--html FILE` asks for, whole or not at all. ProgramProblem where it can't be written. */
export async function writePage(page: string, file: string): Promise<void> {
  const beside = join(dirname(file), `.${basename(file)}.${randomBytes(4).toString('hex')}`);
  try {
    await writeFile(beside, page, { flag: 'wx' });
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true });
    const code = String((error as NodeJS.ErrnoException).code ?? 'unknown reason');
    throw new ProgramProblem('page', `Can't write ${forTerminal(file, 300)} (${code}); give another with --html.`);
  }
}
