import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, resolve } from 'node:path';
import { type UnzipFileInfo, unzipSync } from 'fflate';
import { unreadable } from '../config/load.js';
import { ProgramProblem } from '../model/problem.js';
import { manifestSchema, snapshotSchema } from '../model/schemas/snapshot.js';
import type { Manifest, SnapshotDocument } from '../model/snapshot.js';

/** Octets of all files of an archive together, unpacked: more is no snapshot but a trap. */
const MOST_UNPACKED = 1024 * 1024 * 1024;
const MANIFEST = 'manifest.json';
const SITE = 'site.json';

/** One file of a snapshot by its path below the snapshot's folder; undefined when it is not there. */
type ReadOne = (path: string) => Promise<Uint8Array | undefined>;

/**
 * Reads a snapshot: its folder, its archive, or the site.json in its folder. Every file that its manifest lists has to be there with
 * the length and SHA-256 listed; ProgramProblem with the name of the file otherwise.
 */
export async function loadSnapshot(name: string, cwd: string): Promise<SnapshotDocument> {
  const place = resolve(cwd, name);
  const read = await openPlace(place);
  const manifest = readManifest(place, await read(MANIFEST));
  let site: Uint8Array | undefined;
  for (const listed of manifest.files) {
    const bytes = await verified(place, listed, read);
    if (listed.path === SITE) site = bytes;
  }
  if (site === undefined) throw damaged(place, SITE, 'its manifest does not list it');
  return readSite(place, site);
}

async function openPlace(place: string): Promise<ReadOne> {
  const info = await stat(place).catch((error: unknown) => {
    throw unreadable('the snapshot', place, error);
  });
  if (info.isDirectory()) return inFolder(place);
  if (basename(place) === SITE) return inFolder(dirname(place));
  return inArchive(place, await readFile(place));
}

function inFolder(folder: string): ReadOne {
  return async (path) => {
    try {
      return await readFile(join(folder, ...path.split('/')));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
      throw unreadable('the snapshot', join(folder, path), error);
    }
  };
}

/** The files lie below one folder of any name. */
function inArchive(file: string, archive: Uint8Array): ReadOne {
  let unpacked = 0;
  const filter = ({ originalSize }: UnzipFileInfo): boolean => {
    unpacked += originalSize;
    if (unpacked > MOST_UNPACKED) throw damaged(file, 'the archive', 'it unpacks to more than any snapshot');
    return true;
  };
  let entries: Record<string, Uint8Array>;
  try {
    entries = unzipSync(archive, { filter });
  } catch (error) {
    if (error instanceof ProgramProblem) throw error;
    throw new ProgramProblem('snapshot-damaged', `${file} is no snapshot, or a damaged one: it can't be unpacked.`);
  }
  const manifest = Object.keys(entries).find((path) => basename(path) === MANIFEST && path.split('/').length <= 2);
  const folder = manifest?.slice(0, -MANIFEST.length) ?? '';
  return async (path) => (Object.hasOwn(entries, folder + path) ? entries[folder + path] : undefined);
}

function readManifest(place: string, bytes: Uint8Array | undefined): Manifest {
  if (bytes === undefined) {
    throw damaged(place, MANIFEST, 'it is missing, so this is no snapshot, or the writing of it broke off');
  }
  const { data, error } = manifestSchema.safeParse(parsed(bytes));
  if (data === undefined) throw damaged(place, MANIFEST, firstIssue(error));
  return data;
}

async function verified(place: string, listed: Manifest['files'][number], read: ReadOne): Promise<Uint8Array> {
  const { path, bytes: length, sha256 } = listed;
  if (isAbsolute(path) || path.split(/[\\/]/).includes('..'))
    throw damaged(place, path, 'it lies outside of the snapshot');
  const bytes = await read(path);
  if (bytes === undefined) throw damaged(place, path, 'it is missing');
  if (bytes.length !== length) throw damaged(place, path, `it has ${bytes.length} bytes where ${length} were written`);
  if (createHash('sha256').update(bytes).digest('hex') !== sha256) {
    throw damaged(place, path, 'its content was changed after it was written (SHA-256 differs)');
  }
  return bytes;
}

function readSite(place: string, bytes: Uint8Array): SnapshotDocument {
  const data = parsed(bytes);
  const { error } = snapshotSchema.safeParse(data);
  if (error !== undefined) throw damaged(place, SITE, firstIssue(error));
  return data as SnapshotDocument;
}

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return undefined;
  }
}

function firstIssue(
  error: { readonly issues: readonly { path: PropertyKey[]; message: string }[] } | undefined,
): string {
  const [issue] = error?.issues ?? [];
  return issue === undefined
    ? 'it is not what outfeed writes'
    : `${issue.path.join('.') || 'its top'}: ${issue.message}`;
}

function damaged(place: string, path: string, why: string): ProgramProblem {
  return new ProgramProblem('snapshot-damaged', `The snapshot ${place} is damaged: ${path}: ${why}.`);
}
