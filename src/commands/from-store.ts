import type { EvidenceBundle } from '../model/why.js';
import { withPast } from '../store/past-evidence.js';
import type { Store } from '../store/store.js';
import { askMemory } from './agent-store.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

/**
 * Adds what an agent remembers of the printer, where the configuration's store is there and knows it. A store that can't be
 * read adds nothing: the question is about the printer.
 */
export async function withMemory(bundle: EvidenceBundle, options: CommonOptions, io: Io): Promise<EvidenceBundle> {
  const past = await askMemory(
    options,
    io,
    async (store) => (await store.past(bundle.target)) ?? (await pastByAddress(store, bundle.address)),
  );
  return past === undefined ? bundle : withPast(bundle, past);
}

async function pastByAddress(store: Store, address: string | null) {
  const name = address === null ? undefined : await store.nameAt(address);
  return name === undefined ? undefined : store.past(name);
}
