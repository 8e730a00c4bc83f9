import { readFile } from 'node:fs/promises';
import { runProgram } from '../child.js';
import type { NeighbourRow } from '../net.js';
import { parseArpListing, parseWindowsArp } from './arp.js';
import { type AgedRow, parseIpNeighbours, parseProcArp } from './linux.js';

const TABLE_MS = 3000;

/** The system's neighbour table as it stands; one address only when it is given. An unreadable table has no rows. */
export async function readNeighbourTable(address?: string): Promise<readonly AgedRow[]> {
  const rows = process.platform === 'linux' ? await readLinux(address) : (await readArp()).map(withoutAge);
  return address === undefined ? rows : rows.filter((row) => row.address === bareOf(address));
}

async function readLinux(address: string | undefined): Promise<readonly AgedRow[]> {
  const zone = address?.split('%', 2)[1];
  const narrowed = [
    ...(address === undefined ? [] : ['to', bareOf(address)]),
    ...(zone === undefined ? [] : ['dev', zone]),
  ];
  const listing = await runProgram('ip', ['-s', '-j', 'neigh', 'show', ...narrowed], TABLE_MS);
  // Asked for one interface, the program leaves its name out of the rows.
  const onZone = (row: AgedRow): AgedRow => ({ ...row, interface: row.interface ?? zone ?? null });
  if (listing.exit === 0) return parseIpNeighbours(listing.stdout).map(onZone);
  const file = await readFile('/proc/net/arp', 'utf8').catch(() => '');
  return parseProcArp(file).map(withoutAge);
}

/** Without the zone of a link-local address (RFC 4007 section 11), which the table shows as the interface. */
function bareOf(address: string): string {
  return address.split('%', 1)[0] ?? address;
}

async function readArp(): Promise<readonly NeighbourRow[]> {
  const windows = process.platform === 'win32';
  const listing = await runProgram('arp', [windows ? '-a' : '-an'], TABLE_MS);
  return windows ? parseWindowsArp(listing.stdout) : parseArpListing(listing.stdout);
}

function withoutAge(row: NeighbourRow): AgedRow {
  return { ...row, confirmedSecondsAgo: null };
}
