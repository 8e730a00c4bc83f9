import type { Config } from '../config/config.js';
import { readSecret } from '../config/load.js';
import { openStore, type Store } from '../store/store.js';
import type { Io } from './io.js';

const DEFAULT_SITE = 'site';

/** Opens the store that the configuration names; the current folder stands in for that of a file. */
export async function openAgentStore(config: Config, io: Pick<Io, 'cwd' | 'env'>, readOnly = false): Promise<Store> {
  const folder = config.folder ?? io.cwd;
  const { url } = config.store;
  const place = typeof url === 'string' ? url : await readSecret(url, 'the URL of the store', folder, io.env);
  return openStore(place, { site: config.site.name ?? DEFAULT_SITE, folder, readOnly });
}
