import { createHash } from 'node:crypto';
import { isAbsolute, resolve } from 'node:path';
import { ProgramProblem } from '../model/problem.js';
import { manifestSchema, snapshotSchema } from '../model/schemas/snapshot.js';
import type { Manifest, SnapshotDocument } from '../model/snapshot.js';
import { damaged, MANIFEST, openPlace, SITE, type SnapshotPlace } from './snapshot-place.js';

const MEBI = 1024 * 1024;
/** A site of 300 printers takes some 40 MiB as one document; more than these is no snapshot but a trap. */
const MOST_OF_SITE = 256 * MEBI;
const MOST_OF_MANIFEST = 8 * MEBI;
const MOST_OF_ALL = 1024 * MEBI;

/** A snapshot that was read and is whole. */
export interface LoadedSnapshot {
  readonly site: SnapshotDocument;
  readonly manifest: Manifest;
  /** Files that lie there and that the manifest does not list, so that nobody can say who wrote them. */
  readonly unlisted: readonly string[];
}

/**
 * Reads a snapshot: its folder, its archive, or the site.json in its folder. Every file that its manifest lists has to be there with
 * the length and SHA-256 listed; ProgramProblem with the name of the file otherwise. Nothing is unpacked onto the disk, and of what
 * is read no more is kept than the one document.
 */
export async function loadSnapshot(name: string, cwd: string): Promise<LoadedSnapshot> {
  const place = await openPlace(resolve(cwd, name));
  try {
    const manifest = await readManifest(place);
    let site: Buffer | undefined;
    for (const listed of manifest.files) {
      const octets = await verified(place, listed);
      if (listed.path === SITE) site = octets;
    }
    if (site === undefined) throw damaged(place.shown, SITE, 'its manifest does not list it');
    const known = new Set([MANIFEST, ...manifest.files.map(({ path }) => path)]);
    const unlisted = (await place.list()).filter((path) => !known.has(path)).sort();
    return { site: readSite(place, site), manifest, unlisted };
  } finally {
    place.close();
  }
}

async function readManifest(place: SnapshotPlace): Promise<Manifest> {
  const { octets, length } = await contentOf(place, MANIFEST, MOST_OF_MANIFEST, true);
  if (length !== undefined && octets === undefined) {
    throw damaged(place.shown, MANIFEST, 'it is larger than any list of files');
  }
  if (octets === undefined) {
    throw damaged(place.shown, MANIFEST, 'it is missing, so this is no snapshot, or the writing of it broke off');
  }
  const { data, error } = manifestSchema.safeParse(parsed(octets));
  if (data === undefined) throw damaged(place.shown, MANIFEST, firstIssue(error));
  refuseList(place, data);
  return data;
}

/** What a list of files must not hold, before any of them is touched. */
function refuseList({ shown }: SnapshotPlace, { files }: Manifest): void {
  const seen = new Set<string>();
  let all = 0;
  for (const { path, bytes } of files) {
    if (isAbsolute(path) || /^[a-z]:|[\\\0]/i.test(path) || path.split('/').includes('..')) {
      throw damaged(shown, path, 'it lies outside of the snapshot');
    }
    if (seen.has(path.toLowerCase())) throw damaged(shown, path, 'its manifest lists it twice');
    seen.add(path.toLowerCase());
    all += bytes;
    if (all > MOST_OF_ALL || (path === SITE && bytes > MOST_OF_SITE)) {
      throw damaged(shown, path, `it makes the snapshot larger than any (${Math.round(all / MEBI)} MiB)`);
    }
  }
}

async function verified(place: SnapshotPlace, listed: Manifest['files'][number]): Promise<Buffer | undefined> {
  const { path, bytes, sha256 } = listed;
  const content = await contentOf(place, path, bytes, path === SITE);
  if (content.length === undefined) throw damaged(place.shown, path, 'it is missing');
  if (content.length !== bytes) {
    const has = content.length > bytes ? 'more' : `${content.length}`;
    throw damaged(place.shown, path, `it has ${has} bytes where ${bytes} were written`);
  }
  if (content.sha256 !== sha256) {
    throw damaged(place.shown, path, 'its content was changed after it was written (SHA-256 differs)');
  }
  return content.octets;
}

interface Content {
  /** Undefined: there is no such file. One more than the most allowed: it goes on. */
  readonly length?: number;
  readonly sha256?: string;
  readonly octets?: Buffer;
}

/** Reads a file as a stream, and stops where it has more than it may: what an archive says of its own lengths is not believed. */
async function contentOf(place: SnapshotPlace, path: string, most: number, keep: boolean): Promise<Content> {
  const hash = createHash('sha256');
  const kept: Buffer[] = [];
  let length = 0;
  try {
    const stream = await place.open(path);
    if (stream === undefined) return {};
    for await (const chunk of stream as AsyncIterable<Buffer>) {
      length += chunk.length;
      if (length > most) return { length: most + 1 };
      hash.update(chunk);
      if (keep) kept.push(chunk);
    }
  } catch (error) {
    if (error instanceof ProgramProblem) throw error;
    throw damaged(place.shown, path, "it can't be read to its end");
  }
  return { length, sha256: hash.digest('hex'), ...(keep ? { octets: Buffer.concat(kept) } : {}) };
}

function readSite(place: SnapshotPlace, octets: Uint8Array): SnapshotDocument {
  const data = parsed(octets);
  const { error } = snapshotSchema.safeParse(data);
  if (error !== undefined) throw damaged(place.shown, SITE, firstIssue(error));
  return data as SnapshotDocument;
}

function parsed(octets: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(octets));
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
