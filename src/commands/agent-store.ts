import { existsSync } from 'node:fs';
import type { Config } from '../config/config.js';
import { readSecret } from '../config/load.js';
import { openStore, type Store, storeFile } from '../store/store.js';
import type { Io } from './io.js';

const DEFAULT_SITE = 'site';

/** The store to look into, nothing being changed; undefined where no agent has written one yet. */
export async function openStoreThatIs(config: Config, io: Pick<Io, 'cwd' | 'env'>): Promise<Store | undefined> {
  const { url } = config.store;
  const file = typeof url === 'string' ? storeFile(url, config.folder ?? io.cwd) : undefined;
  if (file !== undefined && !existsSync(file)) return undefined;
  return openAgentStore(config, io, true);
}

/** Opens the store that the configuration names; the current folder stands in for that of a file. */
export async function openAgentStore(config: Config, io: Pick<Io, 'cwd' | 'env'>, readOnly = false): Promise<Store> {
  const folder = config.folder ?? io.cwd;
  const { url } = config.store;
  const place = typeof url === 'string' ? url : await readSecret(url, 'the URL of the store', folder, io.env);
  return openStore(place, { site: config.site.name ?? DEFAULT_SITE, folder, readOnly });
}
