import type { Observation } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { askEntry } from './entry.js';

/** A device may have several addresses; more than these say no more. */
const MOST_PLACES = 2;

/** Other addresses of the link at which the table shows the hardware address that is expected, each resolved afresh. */
export async function elsewhereOnLink(
  target: string,
  expectedMac: string | undefined,
  net: Net,
  timeoutMs: number,
): Promise<readonly Observation[]> {
  if (expectedMac === undefined) return [];
  const rows = await net.neighbours();
  const places = rows.filter(({ mac, address }) => mac === expectedMac && address !== target).slice(0, MOST_PLACES);
  return Promise.all(places.map(({ address }) => askEntry('elsewhere', address, net, timeoutMs)));
}
