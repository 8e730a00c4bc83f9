import type { Config } from '../config/config.js';
import type { CountedThen, FoundThen, Kept } from '../snapshot/past.js';
import { askStoreThatIs } from './agent-store.js';
import type { Io } from './io.js';

/** What an agent keeps of one printer. */
export interface PrinterKept extends Kept {
  readonly model: string | null;
}

const DAY = 86_400_000;
/** A day more than is shown, so that the first has a counter to begin with. */
const KEPT_MS = 91 * DAY;

/** Printer, in lower case → what the agent kept of it up to `until`; empty where there is no store. ProgramProblem when it can't be read. */
export async function rememberedPrinters(
  config: Config,
  io: Io,
  until: number,
): Promise<ReadonlyMap<string, PrinterKept>> {
  const kept = await askStoreThatIs(config, io, async (store) => {
    const found = groupedBy(await store.found(until - KEPT_MS), until);
    const counts = groupedBy(await store.counts(0), until);
    const models = await store.models();
    return [...(await store.firstSeen())].map(([name, since]): [string, PrinterKept] => [
      name.toLowerCase(),
      { since, found: found.get(name) ?? [], counts: counts.get(name) ?? [], model: models.get(name) ?? null },
    ]);
  });
  return new Map(kept);
}

function groupedBy<T extends (FoundThen | CountedThen) & { readonly printer: string }>(
  rows: readonly T[],
  until: number,
): ReadonlyMap<string, readonly T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    if (row.at > until) continue;
    const group = groups.get(row.printer);
    if (group === undefined) groups.set(row.printer, [row]);
    else group.push(row);
  }
  return groups;
}
