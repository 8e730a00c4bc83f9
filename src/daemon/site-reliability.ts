import type { Reliability } from '../model/incident.js';
import type { Store } from '../store/store.js';
import { held } from './held.js';
import { reliabilityOf } from './reliability.js';

/** Reliability is told of the last three months. */
const TOLD_MS = 90 * 24 * 3_600_000;
const MOST_COUNTED = 20_000;
/** Three months look the same for so long. */
const HOLDS_MS = 60_000;

/** How reliable the site's printers were, counted over thousands of incidents, and so not anew for everybody who asks. */
export function siteReliability(
  store: Pick<Store, 'firstSeen' | 'incidents'>,
  now: () => number,
): () => Promise<readonly Reliability[]> {
  return held(async () => {
    const to = now();
    const from = to - TOLD_MS;
    const watched = [...(await store.firstSeen())].map(([printer, since]) => ({ printer, since }));
    return reliabilityOf(watched, await store.incidents({ since: from, limit: MOST_COUNTED }), { from, to });
  }, HOLDS_MS);
}
