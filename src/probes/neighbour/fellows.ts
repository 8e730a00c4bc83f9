import { isIP } from 'node:net';
import type { NeighbourState, Observation } from '../../model/evidence.js';
import type { NeighbourRow, Net } from '../../net/net.js';
import { askEntry } from './entry.js';

const MOST_FELLOWS = 3;

/** States of a row that once had an answer, the freshest first. */
const ONCE_ANSWERED: readonly NeighbourState[] = ['reachable', 'delay', 'probe', 'stale'];

/**
 * Other hosts of the same link as controls, at most three. They come from the table as it stands and are resolved afresh:
 * an old row does not show that the link works now.
 */
export async function fellowControls(
  target: string,
  gateway: string | null,
  device: string | null,
  net: Net,
  timeoutMs: number,
): Promise<readonly Observation[]> {
  const rows = await net.neighbours();
  const fellows = chooseFellows(rows, target, gateway, device);
  return Promise.all(fellows.map((row) => askEntry('fellow', row.address, net, timeoutMs)));
}

/** The rows that serve best: same interface and kind of address, freshest state first, then in order of address. */
export function chooseFellows(
  rows: readonly NeighbourRow[],
  target: string,
  gateway: string | null,
  device: string | null,
): readonly NeighbourRow[] {
  return rows
    .filter((row) => row.interface === device && row.mac !== null && ONCE_ANSWERED.includes(row.state))
    .filter((row) => row.address !== target && row.address !== gateway && isIP(row.address) === isIP(target))
    .sort(
      (a, b) =>
        ONCE_ANSWERED.indexOf(a.state) - ONCE_ANSWERED.indexOf(b.state) ||
        a.address.localeCompare(b.address, 'en', { numeric: true }),
    )
    .slice(0, MOST_FELLOWS);
}
