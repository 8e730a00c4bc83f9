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
  if (fellows.length > 0) return Promise.all(fellows.map((row) => askEntry('fellow', row.address, net, timeoutMs)));
  if (gateway !== null) return [];
  const tried = await Promise.all(likelyFellows(target).map((address) => askEntry('fellow', address, net, timeoutMs)));
  return tried.filter((record) => record.outcome === 'answered').slice(0, MOST_FELLOWS);
}

/**
 * Where somebody is likely to be when the table knows nobody: the ends of the target's /24, where gateways sit, and the
 * addresses beside it. Whoever is not there proves nothing and leaves no record.
 */
export function likelyFellows(target: string): readonly string[] {
  const match = /^(\d+\.\d+\.\d+)\.(\d+)$/.exec(target);
  if (match === null) return [];
  const own = Number(match[2]);
  const likely = [1, 254, own - 2, own - 1, own + 1, own + 2].filter((last) => last > 0 && last < 255 && last !== own);
  return [...new Set(likely)].map((last) => `${match[1]}.${last}`);
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
