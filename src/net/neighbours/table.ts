import { readFile } from 'node:fs/promises';
import { runProgram } from '../child.js';
import type { NeighbourRow } from '../net.js';
import { parseArpListing, parseWindowsArp } from './arp.js';
import { type AgedRow, parseIpNeighbours, parseProcArp } from './linux.js';

const TABLE_MS = 3000;

/** The system's neighbour table as it stands; one address only when it is given. An unreadable table has no rows. */
export async function readNeighbourTable(address?: string): Promise<readonly AgedRow[]> {
  const rows = process.platform === 'linux' ? await readLinux(address) : (await readArp()).map(withoutAge);
  return address === undefined ? rows : rows.filter((row) => row.address === address);
}

async function readLinux(address: string | undefined): Promise<readonly AgedRow[]> {
  const narrowed = address === undefined ? [] : ['to', address];
  const listing = await runProgram('ip', ['-s', '-j', 'neigh', 'show', ...narrowed], TABLE_MS);
  if (listing.exit === 0) return parseIpNeighbours(listing.stdout);
  const file = await readFile('/proc/net/arp', 'utf8').catch(() => '');
  return parseProcArp(file).map(withoutAge);
}

async function readArp(): Promise<readonly NeighbourRow[]> {
  const windows = process.platform === 'win32';
  const listing = await runProgram('arp', [windows ? '-a' : '-an'], TABLE_MS);
  return windows ? parseWindowsArp(listing.stdout) : parseArpListing(listing.stdout);
}

function withoutAge(row: NeighbourRow): AgedRow {
  return { ...row, confirmedSecondsAgo: null };
}
