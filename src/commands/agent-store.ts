import { existsSync } from 'node:fs';
import type { Config } from '../config/config.js';
import { loadConfig, readSecret } from '../config/load.js';
import { openStore, type Store, storeFile } from '../store/store.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

const DEFAULT_SITE = 'site';

type Where = Pick<Io, 'cwd' | 'env'>;

/** What is asked of the store that an agent keeps, nothing being changed; undefined where none has been written yet. */
export async function askStoreThatIs<T>(
  config: Config,
  io: Where,
  ask: (store: Store) => Promise<T>,
): Promise<T | undefined> {
  if (!storeIsThere(config, io)) return undefined;
  const store = await openAgentStore(config, io, true);
  try {
    return await ask(store);
  } finally {
    await store.close();
  }
}

/** The same for what is good to know and no more: a store that can't be read is told of with `--verbose`, and adds nothing. */
export async function askMemory<T>(
  options: CommonOptions,
  io: Io,
  ask: (store: Store) => Promise<T | undefined>,
): Promise<T | undefined> {
  const config = await loadConfig(options.config, io);
  try {
    return await askStoreThatIs(config, io, ask);
  } catch (error) {
    if (options.verbose) io.stderr(`What the agent remembers can not be read: ${String(error).slice(0, 300)}\n`);
    return undefined;
  }
}

/** False where the configuration names a file that no agent has made yet. */
export function storeIsThere(config: Config, { cwd }: Pick<Io, 'cwd'>): boolean {
  const { url } = config.store;
  const file = typeof url === 'string' ? storeFile(url, config.folder ?? cwd) : undefined;
  return file === undefined || existsSync(file);
}

/** Opens the store that the configuration names; the current folder stands in for that of a file. */
export async function openAgentStore(config: Config, io: Where, readOnly = false): Promise<Store> {
  const folder = config.folder ?? io.cwd;
  const { url } = config.store;
  const place = typeof url === 'string' ? url : await readSecret(url, 'the URL of the store', folder, io.env);
  return openStore(place, { site: siteName(config), folder, readOnly });
}

/** What the site is called in the store. */
export function siteName(config: Config): string {
  return config.site.name ?? DEFAULT_SITE;
}
