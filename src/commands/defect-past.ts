import { loadConfig } from '../config/load.js';
import type { PastIncident } from '../defects/past-signs.js';
import { openStoreThatIs } from './agent-store.js';
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
  const config = await loadConfig(options.config, io);
  try {
    const store = await openStoreThatIs(config, io);
    if (store === undefined) return [];
    try {
      const known = [...(await store.firstSeen()).keys()];
      const printer = known.find((name) => name.toLowerCase() === target.toLowerCase()) ?? (await store.nameAt(target));
      if (printer === undefined) return [];
      return await store.incidents({ printer, since: io.now().getTime() - MONTHS_MS, limit: MOST });
    } finally {
      await store.close();
    }
  } catch (error) {
    if (options.verbose) io.stderr(`What the agent remembers can not be read: ${String(error).slice(0, 300)}\n`);
    return [];
  }
}
