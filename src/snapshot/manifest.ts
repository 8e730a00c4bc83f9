import { createHash } from 'node:crypto';
import { MANIFEST_SCHEMA, type Manifest } from '../model/snapshot.js';

/** One file of a snapshot: path below its folder, with `/`. */
export interface SnapshotFile {
  readonly path: string;
  readonly text: string;
}

export interface Maker {
  /** Name and version of the program. */
  readonly program: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
}

/** The list of all files with length and SHA-256 of their octets (UTF-8). */
export function manifestOf(files: readonly SnapshotFile[], maker: Maker): Manifest {
  const listed = files.map(({ path, text }) => {
    const bytes = Buffer.from(text, 'utf8');
    return { path, bytes: bytes.length, sha256: createHash('sha256').update(bytes).digest('hex') };
  });
  return { schema: MANIFEST_SCHEMA, ...maker, files: listed };
}

export function manifestFile(manifest: Manifest): SnapshotFile {
  return { path: 'manifest.json', text: `${JSON.stringify(manifest, null, 2)}\n` };
}
