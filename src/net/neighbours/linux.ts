import type { NeighbourState } from '../../model/evidence.js';
import type { NeighbourRow } from '../net.js';
import { normalMac } from './mac.js';

/** A row of `ip -s -j neigh`, with the age of its last confirmation in seconds where the kernel tells it. */
export interface AgedRow extends NeighbourRow {
  readonly confirmedSecondsAgo: number | null;
}

const STATES: Readonly<Record<string, NeighbourState>> = {
  REACHABLE: 'reachable',
  STALE: 'stale',
  DELAY: 'delay',
  PROBE: 'probe',
  INCOMPLETE: 'incomplete',
  FAILED: 'failed',
  PERMANENT: 'permanent',
  NOARP: 'noarp',
  NONE: 'absent',
};

interface IpNeighbour {
  readonly dst?: unknown;
  readonly dev?: unknown;
  readonly lladdr?: unknown;
  readonly state?: unknown;
  readonly confirmed?: unknown;
}

/** Rows of `ip -j neigh` or `ip -s -j neigh`. Anything that is no such list gives no rows. */
export function parseIpNeighbours(json: string): readonly AgedRow[] {
  let list: unknown;
  try {
    list = JSON.parse(json.trim() === '' ? '[]' : json);
  } catch {
    return [];
  }
  if (!Array.isArray(list)) return [];
  return list.flatMap((entry: IpNeighbour | null) => {
    if (typeof entry?.dst !== 'string') return [];
    const word = Array.isArray(entry.state) ? entry.state[0] : undefined;
    return [
      {
        kind: 'entry' as const,
        address: entry.dst,
        interface: typeof entry.dev === 'string' ? entry.dev : null,
        mac: typeof entry.lladdr === 'string' ? normalMac(entry.lladdr) : null,
        state: typeof word === 'string' && Object.hasOwn(STATES, word) ? (STATES[word] ?? 'absent') : 'absent',
        confirmedSecondsAgo: typeof entry.confirmed === 'number' ? entry.confirmed : null,
      },
    ];
  });
}

/** Flag bits of /proc/net/arp (linux/if_arp.h): completed entry, permanent entry. */
const COMPLETE = 0x02;
const PERMANENT = 0x04;

/**
 * Rows of /proc/net/arp, for machines without the `ip` program. The file does not tell a fresh entry from a stale one,
 * so a complete row reads as `stale`.
 */
export function parseProcArp(text: string): readonly NeighbourRow[] {
  return text.split('\n').flatMap((line) => {
    const [address, , flagText, macText, , device] = line.trim().split(/\s+/);
    if (address === undefined || device === undefined || !/^\d+\.\d+\.\d+\.\d+$/.test(address)) return [];
    const flags = Number.parseInt(flagText ?? '', 16);
    const mac = normalMac(macText ?? '');
    const state: NeighbourState =
      (flags & COMPLETE) === 0 || mac === null ? 'incomplete' : (flags & PERMANENT) !== 0 ? 'permanent' : 'stale';
    return [{ kind: 'entry' as const, address, interface: device, mac: state === 'incomplete' ? null : mac, state }];
  });
}
