import { readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { readGiven } from '../../config/given-file.js';
import type { Observation, PrintHostReportValue } from '../../model/evidence.js';
import { isDenied } from '../../model/print-host.js';
import { eventsObservation, type FileReading, reportObservation } from '../../printhost/observation.js';
import { textOfFile } from '../../printhost/text.js';
import type { Log, World } from '../world.js';

export interface ReportFolderOptions {
  readonly folder: string;
  /** A report that was made longer ago says nothing of now. Milliseconds. */
  readonly maxAgeMs: number;
  readonly world: World;
  readonly log: Log;
  /** Addresses of the printers that a new report speaks of. */
  readonly onNew: (addresses: readonly string[]) => void;
}

interface Known {
  /** Length and time of change: a file is read once for each. */
  readonly stamp: string;
  /** Null for one that can't be used. */
  readonly record: Observation | null;
  /** It could not be read in this state, and that was told. */
  readonly unread?: true;
}

interface Seen {
  readonly stamp: string;
  readonly before: Known;
}

const MOST_FILES = 256;
const MEANT = { what: '', mostBytes: 128_000_000, than: 'any report' };
const READERS: Readonly<Record<string, (text: string, name: string, at: string) => FileReading>> = {
  '.json': (text, _name, at) => reportObservation(text, at),
  '.xml': eventsObservation,
};

/**
 * A folder into which print hosts put what their collector wrote. It is looked through again and again rather than watched: a
 * folder on a network share tells nobody of its changes. A file that can't be read is told once for each of its states.
 */
export class ReportFolder {
  private known: ReadonlyMap<string, Known> = new Map();
  private gone = false;
  private tooMany = false;
  private looking: Promise<void> | null = null;

  constructor(private readonly options: ReportFolderOptions) {}

  /** What the reports say that are young enough, newest last. */
  evidence(): readonly Observation[] {
    const oldest = this.options.world.now() - this.options.maxAgeMs;
    const records = [...this.known.values()].flatMap(({ record }) => record ?? []);
    return records.filter(({ at }) => Date.parse(at) >= oldest).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  }

  /** Looks for files that are new or changed. Never rejects; one look at a time. */
  look(): Promise<void> {
    this.looking ??= this.lookThrough().finally(() => {
      this.looking = null;
    });
    return this.looking;
  }

  private async lookThrough(): Promise<void> {
    const { folder, log } = this.options;
    try {
      const names = (await readdir(folder)).filter((name) => extname(name).toLowerCase() in READERS).sort();
      this.tellTooMany(names.length);
      const before = this.known;
      const known = new Map<string, Known>();
      // One after the other: each may be large. Where they are named by their day the last are the newest.
      for (const name of names.slice(-MOST_FILES)) {
        const entry = await this.entry(name);
        if (entry !== null) known.set(name, entry);
      }
      this.known = known;
      this.gone = false;
      this.tellNew(before);
    } catch (error) {
      if (!this.gone) log.warn({ folder, err: String(error) }, 'the folder of print host reports can not be read');
      this.gone = true;
    }
  }

  /** Once, until they are fewer. */
  private tellTooMany(files: number): void {
    const { folder, log } = this.options;
    const tooMany = files > MOST_FILES;
    if (tooMany && !this.tooMany) log.warn({ folder, files, read: MOST_FILES }, 'too many reports');
    this.tooMany = tooMany;
  }

  /** Null for one that was taken away meanwhile: it says nothing of the others. */
  private async entry(name: string): Promise<Known | null> {
    const file = join(this.options.folder, name);
    const found = await stat(file).catch(() => null);
    if (found === null) return null;
    const stamp = `${found.size} ${found.mtimeMs}`;
    const before = this.known.get(name);
    if (before?.stamp === stamp) return before;
    // Still being written, perhaps: it is read once it has kept its length from one look to the next.
    if (before?.stamp !== `seen ${stamp}`) return { stamp: `seen ${stamp}`, record: before?.record ?? null };
    return this.read(file, name, { stamp, before });
  }

  private async read(file: string, name: string, { stamp, before }: Seen): Promise<Known> {
    const reader = READERS[extname(name).toLowerCase()];
    const at = new Date(this.options.world.now()).toISOString();
    try {
      const outcome = reader?.(textOfFile(await readGiven(file, MEANT)), name, at) ?? { wrong: 'it is no report' };
      return { stamp, record: 'wrong' in outcome ? this.refuse(name, outcome.wrong) : outcome.record };
    } catch (error) {
      // Somebody may have it open just now: it is tried again, and what it said before holds.
      if (before.unread !== true) this.refuse(name, error instanceof Error ? error.message : String(error));
      return { ...before, unread: true };
    }
  }

  private refuse(name: string, why: string): null {
    this.options.log.warn({ file: name, why }, 'a print host report can not be used');
    return null;
  }

  private tellNew(before: ReadonlyMap<string, Known>): void {
    const fresh = [...this.known].filter(
      ([name, { record }]) => record !== null && record !== before.get(name)?.record,
    );
    for (const [name, { record }] of fresh)
      this.options.log.info({ file: name, host: record?.subject }, 'a print host reported');
    const addresses = fresh.flatMap(([, { record }]) => (record === null ? [] : addressesIn(record)));
    if (addresses.length > 0) this.options.onNew([...new Set(addresses)]);
  }
}

/** The hosts of a report's ports; names are left to the reading, which resolves them. */
function addressesIn({ value }: Observation): readonly string[] {
  if (typeof value !== 'object' || value === null || !('kind' in value) || value.kind !== 'report') return [];
  const { ports } = (value as PrintHostReportValue).report;
  return isDenied(ports) ? [] : ports.flatMap(({ hostAddress }) => hostAddress ?? []);
}
