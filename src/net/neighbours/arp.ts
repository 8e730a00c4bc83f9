import { isIPv4 } from 'node:net';
import type { NeighbourState } from '../../model/evidence.js';
import type { NeighbourRow } from '../net.js';
import { normalMac } from './mac.js';

/**
 * Rows of `arp -an` as the BSD family (macOS) and Linux's net-tools print it:
 * `? (192.0.2.1) at 2:fc:0:0:0:5 on en0 ifscope [ethernet]`, `? (192.0.2.9) at (incomplete) on en0 …`,
 * `? (192.0.2.1) at 02:fc:00:00:00:05 [ether] PERM on eth0`, `… at <incomplete> on eth0`.
 * A resolved row reads as `stale`: the listing does not say when it was last confirmed.
 */
export function parseArpListing(text: string): readonly NeighbourRow[] {
  return text.split(/\r?\n/).flatMap((line) => {
    const end = line.indexOf(') at ');
    const address = line.slice(line.indexOf('(') + 1, Math.max(0, end));
    const [before = '', after = ''] = line.slice(end + 5).split(' on ', 2);
    const hardware = before.split(' ', 1)[0] ?? '';
    const device = after.split(' ', 1)[0] ?? '';
    if (!isIPv4(address) || device === '') return [];
    const mac = normalMac(hardware);
    const fixed = /\bPERM\b|\bpermanent\b/.test(`${before} ${after}`);
    const state: NeighbourState = mac === null ? 'incomplete' : fixed ? 'permanent' : 'stale';
    return [{ kind: 'entry' as const, address, interface: device, mac, state }];
  });
}

/**
 * Rows of Windows `arp -a`. Its words follow the system's language, so rows are told by their shape: an interface line
 * holds one address and `0x` with its index, a row holds an address and a hardware address with dashes.
 * `interface` is the interface's own address, as Windows lists it. Broadcast and multicast rows are left out.
 */
export function parseWindowsArp(text: string): readonly NeighbourRow[] {
  const rows: NeighbourRow[] = [];
  let device: string | null = null;
  for (const line of text.split(/\r?\n/)) {
    const heading = /(\d{1,3}\.\d{1,3}\.\d{1,3}\.\d{1,3})\s{1,8}---\s{1,8}0x[0-9a-f]/i.exec(line);
    if (heading !== null) {
      device = heading[1] ?? null;
      continue;
    }
    const row = /^\s*(\d+\.\d+\.\d+\.\d+)\s+((?:[0-9a-f]{2}-){5}[0-9a-f]{2})\b/i.exec(line);
    const mac = normalMac(row?.[2] ?? '');
    // The lowest bit of the first octet marks a group address (IEEE 802), which belongs to nobody.
    if (row === null || mac === null || (Number.parseInt(mac.slice(0, 2), 16) & 1) === 1) continue;
    rows.push({ kind: 'entry', address: row[1] ?? '', interface: device, mac, state: 'stale' });
  }
  return rows;
}
