import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseArpListing, parseWindowsArp } from '../../src/net/neighbours/arp.js';
import { parseIpNeighbours, parseProcArp } from '../../src/net/neighbours/linux.js';
import { normalMac } from '../../src/net/neighbours/mac.js';

// The Linux texts follow what the programs print here; those of macOS and Windows are written by hand after the systems'
// manuals, from memory: no such system has been read for these tests. Addresses are documentation addresses.

const IP_NEIGH = `[{"dst":"192.0.2.1","dev":"eth0","lladdr":"02:fc:00:00:00:05","refcnt":1,"used":0,"confirmed":3,"updated":0,"probes":4,"state":["REACHABLE"]},
{"dst":"192.0.2.7","dev":"eth0","lladdr":"02:FC:00:00:00:07","used":910,"confirmed":970,"updated":165,"probes":6,"state":["STALE"]},
{"dst":"192.0.2.8","dev":"eth0","used":3,"confirmed":64,"updated":0,"probes":6,"state":["FAILED"]},
{"dst":"192.0.2.9","dev":"eth0","state":["INCOMPLETE"]},
{"dst":"192.0.2.10","dev":"eth0","lladdr":"02:fc:00:00:00:0a","state":["PERMANENT"]},
{"dst":"2001:db8::5","dev":"eth0","lladdr":"02:fc:00:00:00:05","router":null,"state":["DELAY"]}]`;

const PROC_ARP = `IP address       HW type     Flags       HW address            Mask     Device
192.0.2.1        0x1         0x2         02:fc:00:00:00:05     *        eth0
192.0.2.9        0x1         0x0         00:00:00:00:00:00     *        eth0
192.0.2.10       0x1         0x6         02:fc:00:00:00:0a     *        eth0
`;

const LINUX_ARP = `? (192.0.2.1) at 02:fc:00:00:00:05 [ether] on eth0
? (192.0.2.9) at <incomplete> on eth0
? (192.0.2.10) at 02:fc:00:00:00:0a [ether] PERM on eth0
`;

const MACOS_ARP = `? (192.0.2.1) at 2:fc:0:0:0:5 on en0 ifscope [ethernet]
? (192.0.2.9) at (incomplete) on en0 ifscope [ethernet]
? (192.0.2.255) at ff:ff:ff:ff:ff:ff on en0 ifscope [ethernet]
? (224.0.0.251) at 1:0:5e:0:0:fb on en0 ifscope permanent [ethernet]
`;

const WINDOWS_ARP = `\r
Interface: 192.0.2.2 --- 0xb\r
  Internet Address      Physical Address      Type\r
  192.0.2.1             02-fc-00-00-00-05     dynamic   \r
  192.0.2.255           ff-ff-ff-ff-ff-ff     static    \r
  224.0.0.22            01-00-5e-00-00-16     static    \r
\r
Schnittstelle: 198.51.100.4 --- 0x13\r
  Internetadresse       Physische Adresse     Typ\r
  198.51.100.9          02-FC-00-00-00-09     dynamisch\r
`;

describe('neighbour tables', () => {
  test('ip -s -j neigh', () => {
    const rows = parseIpNeighbours(IP_NEIGH);
    expect(rows.map((row) => [row.address, row.state, row.mac, row.confirmedSecondsAgo])).toEqual([
      ['192.0.2.1', 'reachable', '02:fc:00:00:00:05', 3],
      ['192.0.2.7', 'stale', '02:fc:00:00:00:07', 970],
      ['192.0.2.8', 'failed', null, 64],
      ['192.0.2.9', 'incomplete', null, null],
      ['192.0.2.10', 'permanent', '02:fc:00:00:00:0a', null],
      ['2001:db8::5', 'delay', '02:fc:00:00:00:05', null],
    ]);
  });

  test('what is no table has no rows', () => {
    for (const text of ['', '[]', '{}', 'null', '[null, 4, {"dst": 5}]', 'Object "neigh" is unknown', '[{"dst"']) {
      expect(parseIpNeighbours(text)).toEqual([]);
      expect(parseProcArp(text)).toEqual([]);
      expect(parseArpListing(text)).toEqual([]);
      expect(parseWindowsArp(text)).toEqual([]);
    }
  });

  test('no text, however odd, throws', () => {
    const pieces = fc.array(
      fc.oneof(
        fc.string(),
        fc.json(),
        fc.constantFrom(IP_NEIGH, PROC_ARP, MACOS_ARP, WINDOWS_ARP, '(192.0.2.1) at ', '\n'),
      ),
      { maxLength: 6 },
    );
    fc.assert(
      fc.property(pieces, fc.nat(400), (parts, cut) => {
        const text = parts.join('').slice(cut);
        for (const parse of [parseIpNeighbours, parseProcArp, parseArpListing, parseWindowsArp]) {
          for (const row of parse(text)) expect(row.mac === null || row.mac.length === 17).toBe(true);
        }
      }),
      { numRuns: 500 },
    );
  });

  test('/proc/net/arp: a complete row may be old, so it is stale', () => {
    expect(parseProcArp(PROC_ARP)).toEqual([
      { kind: 'entry', address: '192.0.2.1', state: 'stale', mac: '02:fc:00:00:00:05', interface: 'eth0' },
      { kind: 'entry', address: '192.0.2.9', state: 'incomplete', mac: null, interface: 'eth0' },
      { kind: 'entry', address: '192.0.2.10', state: 'permanent', mac: '02:fc:00:00:00:0a', interface: 'eth0' },
    ]);
  });

  test('arp -an of Linux', () => {
    expect(parseArpListing(LINUX_ARP).map((row) => [row.address, row.state, row.mac, row.interface])).toEqual([
      ['192.0.2.1', 'stale', '02:fc:00:00:00:05', 'eth0'],
      ['192.0.2.9', 'incomplete', null, 'eth0'],
      ['192.0.2.10', 'permanent', '02:fc:00:00:00:0a', 'eth0'],
    ]);
  });

  test('arp -an of macOS, single digits filled up', () => {
    const rows = parseArpListing(MACOS_ARP);
    expect(rows[0]).toEqual({
      kind: 'entry',
      address: '192.0.2.1',
      state: 'stale',
      mac: '02:fc:00:00:00:05',
      interface: 'en0',
    });
    expect(rows[1]?.state).toBe('incomplete');
    expect(rows[3]?.state).toBe('permanent');
  });

  test('arp -a of Windows in any language, group addresses left out', () => {
    expect(parseWindowsArp(WINDOWS_ARP).map((row) => [row.address, row.mac, row.interface])).toEqual([
      ['192.0.2.1', '02:fc:00:00:00:05', '192.0.2.2'],
      ['198.51.100.9', '02:fc:00:00:00:09', '198.51.100.4'],
    ]);
  });

  test.each([
    ['02:FC:00:00:00:05', '02:fc:00:00:00:05'],
    ['2:fc:0:0:0:5', '02:fc:00:00:00:05'],
    ['02-fc-00-00-00-05', '02:fc:00:00:00:05'],
    ['00:00:00:00:00:00', null],
    ['(incomplete)', null],
    ['02:fc:00:00:00', null],
    ['02:fc:00:00:00:005', null],
  ])('hardware address %s', (text, mac) => {
    expect(normalMac(text)).toBe(mac);
  });
});
