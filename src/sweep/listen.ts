import type { DiscoveredDevice, Net } from '../net/net.js';
import { PRINTER_SERVICE_TYPES } from '../probes/dns-sd/dns-sd.js';
import { type Announcement, announcements } from './announced.js';
import type { Link } from './link.js';
import { contains, type RangePlan } from './ranges.js';
import { isSelfAssigned } from './space.js';

/** Types that printers announce, and the web page of those that announce nothing else (RFC 6763 7.1: a subtype). */
const TYPES = [...PRINTER_SERVICE_TYPES, '_printer._sub._http._tcp'];

/** Whom to tell, again and again while more is heard. */
export interface Ears {
  readonly announced: (heard: readonly Announcement[]) => void;
  readonly discovered: (device: DiscoveredDevice) => void;
}

/** Listens for DNS-SD announcements and asks by WS-Discovery, at the same time, for `listenMs`. */
export async function listenAround(
  net: Net,
  link: Link,
  plan: RangePlan,
  listenMs: number,
  signal: AbortSignal,
  ears: Ears,
): Promise<void> {
  const inScope = (address: string, all: readonly string[]): boolean => isInScope(address, all, plan, link);
  const known = new Set<string>();
  await Promise.all([
    net.browse(TYPES, listenMs, {
      signal,
      onHeard: (instances) => ears.announced(announcements(instances, inScope)),
    }),
    net.discover(listenMs, {
      signal,
      onHeard: (devices) => {
        for (const device of devices) {
          if (known.has(device.address) || !inScope(device.address, [device.address])) continue;
          known.add(device.address);
          ears.discovered(device);
        }
      },
    }),
  ]);
}

/**
 * The addresses of the ranges; and of devices that have none but IPv6 addresses or those that they gave themselves, whatever this
 * link shows: nobody could have named these in a range.
 */
function isInScope(address: string, all: readonly string[], plan: RangePlan, link: Link): boolean {
  if (contains(plan, address)) return true;
  if (all.some((one) => contains(plan, one) || !(isSelfAssigned(one) || one.includes(':')))) return false;
  return isSelfAssigned(address) || link.reach(address) === 'onlink';
}
