import { isIPv4 } from 'node:net';
import { networkInterfaces } from 'node:os';
import type { OwnSubnet } from './net.js';

/** The subnets this machine has an address in, loopback left out. */
export function ownSubnets(): readonly OwnSubnet[] {
  return Object.entries(networkInterfaces()).flatMap(([name, addresses]) =>
    (addresses ?? [])
      .filter((entry) => !entry.internal && entry.cidr !== null)
      .map((entry) => ({ interface: name, address: entry.address, cidr: entry.cidr ?? '' })),
  );
}

/** One interface as multicast needs it. */
export interface OwnLink {
  readonly interface: string;
  /** What stands behind the `%` of a link-local IPv6 address of this link (RFC 4007 section 11): its name, on Windows its number. */
  readonly zone: string;
  readonly ipv4: readonly string[];
  /** True when the interface has a link-local IPv6 address: only then can it be asked over IPv6. */
  readonly hasIpv6: boolean;
}

/** The interfaces that have an address, loopback left out. */
export function ownLinks(): readonly OwnLink[] {
  return Object.entries(networkInterfaces()).flatMap(([name, addresses]) => {
    const own = (addresses ?? []).filter((entry) => !entry.internal);
    if (own.length === 0) return [];
    const linkLocal = own.find((entry) => /^fe[89ab]/i.test(entry.address));
    const scope = linkLocal?.family === 'IPv6' ? linkLocal.scopeid : 0;
    return {
      interface: name,
      zone: process.platform === 'win32' ? String(scope) : name,
      ipv4: own.map((entry) => entry.address).filter((address) => isIPv4(address)),
      hasIpv6: linkLocal !== undefined,
    };
  });
}
