import type { NeighbourRow } from '../net/net.js';
import type { Met } from './inspect.js';
import type { Proxies } from './proxies.js';

/**
 * Addresses that two devices may claim, one sentence each: the link showed one hardware address first and another later, or shows one
 * that is none of those that the device itself tells (ifPhysAddress, RFC 2863). RFC 5227 section 1 names both signs as what a conflict does.
 */
export function addressConflicts(
  met: ReadonlyMap<string, Met>,
  now: readonly NeighbourRow[],
  proxies: Proxies,
): readonly string[] {
  return [...met.values()].flatMap((one) => {
    if (one.mac === null || one.reach !== 'onlink' || proxies.has(one.mac)) return [];
    const later = now.find((row) => row.address === one.address && row.mac !== null && row.state !== 'failed')?.mac;
    if (later != null && later !== one.mac && !proxies.has(later)) {
      return [sentence(one.address, `the link showed ${one.mac} first and ${later} later`)];
    }
    const own = [...new Set(one.said?.documents.flatMap(({ identity }) => identity.macs))];
    if (own.length === 0 || own.includes(one.mac)) return [];
    return [sentence(one.address, `the link shows ${one.mac}, but the device says that it is ${own.join(' or ')}`)];
  });
}

function sentence(address: string, signs: string): string {
  return `Two devices may have the address ${address}: ${signs}. Run "outfeed why ${address}" to look closer.`;
}
