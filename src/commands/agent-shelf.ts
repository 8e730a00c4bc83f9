import { createHash } from 'node:crypto';
import { rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { readGiven } from '../config/given-file.js';
import type { Batches, Shelf } from '../daemon/shelf.js';
import { ProgramProblem } from '../model/problem.js';
import { safeFileName } from '../snapshot/file-names.js';
import { OWNER_ONLY, writeWhole } from './whole-file.js';

const SCHEMA = 'outfeed.unwritten/1';
const MEANT = { what: 'what an earlier agent left', mostBytes: 256 * 1024 * 1024, than: 'what an agent leaves' };

/** Which store of which site, and where a file of it may be written. */
export interface ShelfPlace {
  readonly folder: string;
  readonly site: string;
  /** The store as it may be shown. */
  readonly shown: string;
}

/**
 * The folder that a service manager gives for such files (systemd.exec(5), `StateDirectory`, first of several), else the one of the
 * configuration.
 */
export function shelfFolder(env: Readonly<Record<string, string | undefined>>, usual: string): string {
  return env.STATE_DIRECTORY?.split(':')[0] || usual;
}

/** A file of this name for each site and store: what waits for one database is not for another. */
function fileOf({ folder, site, shown }: ShelfPlace): string {
  const mark = createHash('sha256').update(`${site}\n${shown}`).digest('hex').slice(0, 8);
  return join(folder, `outfeed-unwritten-${safeFileName(site)}-${mark}.json`);
}

/** A file beside the configuration, for its owner only: it names people and places. */
export function fileShelf(place: ShelfPlace): Shelf {
  const file = fileOf(place);
  return {
    take: async () => ((await isThere(file)) ? read(file) : []),
    put: async (batches) => {
      if (batches.length === 0) await rm(file, { force: true });
      else await writeWhole(file, JSON.stringify({ schema: SCHEMA, batches }), place.folder, OWNER_ONLY);
    },
  };
}

async function isThere(file: string): Promise<boolean> {
  return stat(file).then(
    () => true,
    () => false,
  );
}

/** What can't be read is put aside: it would be met at each start, and a person may still make something of it. */
async function read(file: string): Promise<Batches> {
  const text = (await readGiven(file, MEANT)).toString('utf8');
  const batches = batchesIn(text);
  if (batches !== undefined) return batches;
  const aside = `${file}.broken`;
  await rename(file, aside);
  throw new ProgramProblem(
    'unwritten-broken',
    `${file} is damaged, so what it held is not remembered; it is now ${aside}.`,
  );
}

function batchesIn(text: string): Batches | undefined {
  try {
    const { schema, batches } = JSON.parse(text) as { schema?: unknown; batches?: unknown };
    const whole = schema === SCHEMA && Array.isArray(batches) && batches.every((batch) => Array.isArray(batch));
    return whole ? (batches as Batches) : undefined;
  } catch {
    return undefined;
  }
}
