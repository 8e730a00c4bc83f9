import { createReadStream } from 'node:fs';
import { lstat, readdir, stat } from 'node:fs/promises';
import { basename, dirname, join, posix, relative, sep } from 'node:path';
import type { Readable } from 'node:stream';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { unreadable } from '../config/given-file.js';
import { ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';

export const MANIFEST = 'manifest.json';
export const SITE = 'site.json';

/** More files than a snapshot of any site has. */
const MOST_FILES = 20_000;

/** Where a snapshot lies: a folder or an archive. Paths are below the snapshot's own folder, with `/`. */
export interface SnapshotPlace {
  /** As it is told to people. */
  readonly shown: string;
  /** The octets of one file; undefined when it is not there. */
  open(path: string): Promise<Readable | undefined>;
  /** Every file that lies there. */
  list(): Promise<readonly string[]>;
  close(): void;
}

/** Opens a snapshot's folder, its archive, or the folder of the site.json that was named. */
export async function openPlace(place: string): Promise<SnapshotPlace> {
  const info = await stat(place).catch((error: unknown) => {
    throw unreadable('the snapshot', place, error);
  });
  if (info.isDirectory()) return folderPlace(place);
  if (basename(place) === SITE) return folderPlace(dirname(place));
  if (!info.isFile()) throw damaged(place, 'the archive', 'it is neither a folder nor a file');
  return archivePlace(place);
}

/** A damaged or forged snapshot, with the name of the file that shows it. */
export function damaged(place: string, path: string, why: string): ProgramProblem {
  return new ProgramProblem('snapshot-damaged', `The snapshot ${place} is damaged: ${forTerminal(path, 200)}: ${why}.`);
}

function folderPlace(folder: string): SnapshotPlace {
  const open = async (path: string): Promise<Readable | undefined> => {
    const file = join(folder, ...path.split('/'));
    try {
      // A pipe would be waited for, a device read for ever.
      if (!(await lstat(file)).isFile()) throw damaged(folder, path, 'it is no plain file');
    } catch (error) {
      if (error instanceof ProgramProblem) throw error;
      if (['ENOENT', 'ENOTDIR'].includes(String((error as NodeJS.ErrnoException).code))) return undefined;
      throw unreadable('the snapshot', file, error);
    }
    return createReadStream(file);
  };
  const list = async (): Promise<readonly string[]> => {
    const entries = await readdir(folder, { recursive: true, withFileTypes: true });
    const files = entries.filter((entry) => !entry.isDirectory());
    return files.map(({ parentPath, name }) => relative(folder, join(parentPath, name)).split(sep).join('/'));
  };
  return { shown: folder, open, list, close: () => {} };
}

async function archivePlace(file: string): Promise<SnapshotPlace> {
  const archive = await openArchive(file);
  try {
    const entries = await entriesOf(file, archive);
    const folder = folderIn(file, [...entries.keys()]);
    return {
      shown: file,
      open: async (path) => {
        const entry = entries.get(folder + path);
        return entry === undefined ? undefined : archive.openReadStreamPromise(entry);
      },
      list: async () =>
        [...entries.keys()].map((path) => (path.startsWith(folder) ? path.slice(folder.length) : `../${path}`)),
      close: () => archive.close(),
    };
  } catch (error) {
    archive.close();
    throw error;
  }
}

async function openArchive(file: string): Promise<ZipFile> {
  try {
    return await openPromise(file, { autoClose: false, strictFileNames: true });
  } catch {
    throw cannotUnpack(file);
  }
}

/** Path → entry. Names that lead outside, that come twice or that are too many are no work of this program. */
async function entriesOf(file: string, archive: ZipFile): Promise<ReadonlyMap<string, Entry>> {
  const entries = new Map<string, Entry>();
  try {
    for await (const entry of archive.eachEntry()) {
      if (entry.fileName.endsWith('/')) continue;
      if (entries.has(entry.fileName)) throw damaged(file, entry.fileName, 'the archive holds it twice');
      if (entries.size >= MOST_FILES) throw damaged(file, 'the archive', `it holds more than ${MOST_FILES} files`);
      entries.set(entry.fileName, entry);
    }
  } catch (error) {
    if (error instanceof ProgramProblem) throw error;
    const outside = /(?:relative path|absolute path|invalid characters in fileName): (.*)/s.exec(String(error))?.[1];
    throw outside === undefined ? cannotUnpack(file) : damaged(file, outside, 'it lies outside of the snapshot');
  }
  return entries;
}

/** The files lie at the top of the archive or below one folder of any name. */
function folderIn(file: string, paths: readonly string[]): string {
  const manifests = paths.filter((path) => posix.basename(path) === MANIFEST && path.split('/').length <= 2);
  if (manifests.length > 1) throw damaged(file, MANIFEST, 'the archive holds more than one');
  return manifests[0]?.slice(0, -MANIFEST.length) ?? '';
}

function cannotUnpack(file: string): ProgramProblem {
  return new ProgramProblem('snapshot-damaged', `${file} is no snapshot, or a damaged one: it can't be unpacked.`);
}
