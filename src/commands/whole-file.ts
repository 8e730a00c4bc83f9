import { randomBytes } from 'node:crypto';
import { open, rename, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';

/** Rights of a file that only its owner should read: evidence names people and places. */
export const OWNER_ONLY = 0o600;
const ALL_MAY_READ = 0o644;

/**
 * Writes a file whole or not at all: beside its place first, then into it. `name` is relative to `cwd`. ProgramProblem in one
 * sentence when it can't be written.
 */
export async function writeWhole(
  name: string,
  content: string | Uint8Array,
  cwd: string,
  mode = ALL_MAY_READ,
): Promise<void> {
  const file = resolve(cwd, name);
  try {
    // A terminal, a pipe or /dev/null is written to: put in its place, a file would do away with it.
    if (await isSpecial(file)) await writeFile(file, content);
    else await putInPlace(file, content, mode);
  } catch (error) {
    const code = String((error as NodeJS.ErrnoException).code ?? 'unknown reason');
    throw new ProgramProblem(
      'file-unwritable',
      `Can't write ${forTerminal(file, 300)}: ${unwritable(code)}; name another place.`,
    );
  }
}

async function isSpecial(file: string): Promise<boolean> {
  const found = await stat(file).catch(() => undefined);
  return found !== undefined && !found.isFile() && !found.isDirectory();
}

async function putInPlace(file: string, content: string | Uint8Array, mode: number): Promise<void> {
  const beside = join(dirname(file), `.${basename(file)}.${randomBytes(4).toString('hex')}`);
  try {
    const handle = await open(beside, 'wx', mode);
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
}

/** In words, what a system's code says of a place that can't be written. */
export function unwritable(code: string): string {
  return REASONS[code] ?? code;
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'its folder does not exist',
  ENOTDIR: 'part of its path is no folder',
  EACCES: 'this user may not write there',
  EPERM: 'this user may not write there',
  EROFS: 'nothing can be written there',
  EISDIR: 'a folder has that name',
  EBUSY: 'it is in use by the system',
  ENOSPC: 'the disk is full',
};
