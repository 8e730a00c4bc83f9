import { type Zippable, zipSync } from 'fflate';
import type { Manifest } from '../model/snapshot.js';
import { manifestFile, octetsOf, type SnapshotFile } from './manifest.js';

/** One archive of a snapshot's files, below a folder of this name, the manifest last. The same files give the same octets. */
export function zipOf(folder: string, files: readonly SnapshotFile[], manifest: Manifest): Uint8Array {
  const mtime = new Date(manifest.madeAt);
  const entries: Zippable = {};
  for (const file of [...files, manifestFile(manifest)])
    entries[`${folder}/${file.path}`] = [octetsOf(file), { mtime }];
  return zipSync(entries, { level: 6 });
}
