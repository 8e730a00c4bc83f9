import { mkdir, open, readdir, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { ProgramProblem } from '../model/problem.js';
import type { Manifest } from '../model/snapshot.js';
import { type Maker, manifestFile, manifestOf, octetsOf, type SnapshotFile } from './manifest.js';

/**
 * Writes a snapshot's files into a folder and, last of all, the manifest that lists them with length and SHA-256: a
 * folder without a manifest is one whose writing broke off. Makes the folder; refuses one that holds anything
 * (ProgramProblem). Gives the manifest.
 */
export async function writeSnapshot(folder: string, files: readonly SnapshotFile[], maker: Maker): Promise<Manifest> {
  await prepareFolder(folder);
  const manifest = manifestOf(files, maker);
  for (const file of [...files, manifestFile(manifest)]) await writeOne(folder, file);
  return manifest;
}

/** True when nothing is at this path, or an empty folder. */
export async function isFree(folder: string): Promise<boolean> {
  try {
    return (await readdir(folder)).length === 0;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return true;
    return false;
  }
}

/** Refuses a path that holds anything (ProgramProblem): asked before a long reading, not only after it. */
export async function refuseTaken(folder: string): Promise<void> {
  if (await isFree(folder)) return;
  throw new ProgramProblem(
    'snapshot-folder',
    `${folder} is there already and is not an empty folder; give another with --out.`,
  );
}

/**
 * Makes a folder and those above it. The system's own way of doing that never ends where a file system says "no such
 * file" of a folder that can't be made, as /proc does (Node 20 to 24).
 */
async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST') return;
    if (code !== 'ENOENT' || dirname(folder) === folder) throw error;
    await makeFolder(dirname(folder));
    await mkdir(folder);
  }
}

async function prepareFolder(folder: string): Promise<void> {
  await refuseTaken(folder);
  try {
    await makeFolder(folder);
  } catch (error) {
    throw cannotWrite(folder, error);
  }
}

/** Writes one archive, whole or not at all: half of one would be in the way of the next. Refuses a path that is taken (ProgramProblem). */
export async function writeArchive(file: string, archive: Uint8Array): Promise<void> {
  try {
    await makeFolder(dirname(file));
    const handle = await open(file, 'wx');
    try {
      await handle.writeFile(archive).finally(() => handle.close());
    } catch (error) {
      await rm(file, { force: true });
      throw error;
    }
  } catch (error) {
    throw cannotWrite(file, error);
  }
}

async function writeOne(folder: string, file: SnapshotFile): Promise<void> {
  const path = join(folder, ...file.path.split('/'));
  try {
    await makeFolder(dirname(path));
    await writeFile(path, octetsOf(file), { flag: 'wx' });
  } catch (error) {
    throw cannotWrite(path, error);
  }
}

function cannotWrite(path: string, error: unknown): ProgramProblem {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown error';
  return new ProgramProblem('snapshot-write', `${path} cannot be written (${code}); give another place with --out.`);
}
