import type { PastIncident } from '../defects/past-signs.js';
import { askMemory } from './agent-store.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

const MONTHS_MS = 90 * 24 * 3_600_000;
const MOST = 1_000;

/** What an agent remembers of the printer's last three months; nothing where there is no store, or none that can be read. */
export async function rememberedFaults(
  target: string,
  options: CommonOptions,
  io: Io,
): Promise<readonly PastIncident[]> {
  const incidents = await askMemory(options, io, async (store) => {
    const known = [...(await store.firstSeen()).keys()];
    const printer = known.find((name) => name.toLowerCase() === target.toLowerCase()) ?? (await store.nameAt(target));
    if (printer === undefined) return undefined;
    return store.incidents({ printer, since: io.now().getTime() - MONTHS_MS, limit: MOST });
  });
  return incidents ?? [];
}
