import { strToU8, type Zippable, zipSync } from 'fflate';
import type { Manifest } from '../model/snapshot.js';
import { manifestFile, type SnapshotFile } from './manifest.js';

/** One archive of a snapshot's files, below a folder of this name, the manifest last. The same files give the same octets. */
export function zipOf(folder: string, files: readonly SnapshotFile[], manifest: Manifest): Uint8Array {
  const mtime = new Date(manifest.madeAt);
  const entries: Zippable = {};
  for (const { path, text } of [...files, manifestFile(manifest)])
    entries[`${folder}/${path}`] = [strToU8(text), { mtime }];
  return zipSync(entries, { level: 6 });
}
