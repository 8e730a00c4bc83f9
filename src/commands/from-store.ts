import { existsSync } from 'node:fs';
import { loadConfig } from '../config/load.js';
import type { EvidenceBundle } from '../model/why.js';
import { withPast } from '../store/past-evidence.js';
import { storeFile } from '../store/store.js';
import { openAgentStore } from './agent-store.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

/**
 * Adds what an agent remembers of the printer, where the configuration's store is there and knows it. A store that can't be
 * read adds nothing: the question is about the printer.
 */
export async function withMemory(bundle: EvidenceBundle, options: CommonOptions, io: Io): Promise<EvidenceBundle> {
  const config = await loadConfig(options.config, io);
  const { url } = config.store;
  const file = typeof url === 'string' ? storeFile(url, config.folder ?? io.cwd) : undefined;
  if (file !== undefined && !existsSync(file)) return bundle;
  try {
    const store = await openAgentStore(config, io, true);
    try {
      const past = (await store.past(bundle.target)) ?? (await pastByAddress(store, bundle.address));
      return past === undefined ? bundle : withPast(bundle, past);
    } finally {
      await store.close();
    }
  } catch (error) {
    if (options.verbose) io.stderr(`What the agent remembers can not be read: ${String(error).slice(0, 300)}\n`);
    return bundle;
  }
}

async function pastByAddress(store: Awaited<ReturnType<typeof openAgentStore>>, address: string | null) {
  const name = address === null ? undefined : await store.nameAt(address);
  return name === undefined ? undefined : store.past(name);
}
