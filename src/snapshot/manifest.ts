import { createHash } from 'node:crypto';
import { type ClockOffset, MANIFEST_SCHEMA, type Manifest } from '../model/snapshot.js';

/** One file of a snapshot: path below its folder, with `/`; text is written as UTF-8, octets as they are. */
export interface SnapshotFile {
  readonly path: string;
  readonly content: string | Uint8Array;
}

/** What a file holds once it is written. */
export function octetsOf({ content }: SnapshotFile): Uint8Array {
  return typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
}

export interface Maker {
  /** Name and version of the program. */
  readonly program: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  readonly clock?: ClockOffset;
}

/** The list of all files with length and SHA-256 of their octets. */
export function manifestOf(files: readonly SnapshotFile[], maker: Maker): Manifest {
  const listed = files.map((file) => {
    const bytes = octetsOf(file);
    return { path: file.path, bytes: bytes.length, sha256: createHash('sha256').update(bytes).digest('hex') };
  });
  return { schema: MANIFEST_SCHEMA, ...maker, files: listed };
}

export function manifestFile(manifest: Manifest): SnapshotFile {
  return { path: 'manifest.json', content: `${JSON.stringify(manifest, null, 2)}\n` };
}
