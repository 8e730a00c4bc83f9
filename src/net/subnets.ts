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
