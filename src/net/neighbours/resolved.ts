import { readFile } from 'node:fs/promises';
import { parseProcArp } from './linux.js';
import { readNeighbourTable } from './table.js';

/**
 * The IPv4 addresses that the kernel has been asked for: hardware address, or null while it has none. On Linux from
 * /proc/net/arp, which costs no process and needs no right; elsewhere by the system's own program.
 */
export async function resolvedAddresses(): Promise<ReadonlyMap<string, string | null>> {
  const file = process.platform === 'linux' ? await readFile('/proc/net/arp', 'utf8').catch(() => null) : null;
  const rows = file === null ? await readNeighbourTable() : parseProcArp(file);
  return new Map(rows.map(({ address, mac, state }) => [address, state === 'failed' ? null : mac]));
}
