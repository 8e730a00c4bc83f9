import { describe, expect, test } from 'vitest';
import type { NeighbourRow } from '../../src/net/net.js';
import { addressConflicts } from '../../src/sweep/conflicts.js';
import type { Met } from '../../src/sweep/inspect.js';
import { Proxies } from '../../src/sweep/proxies.js';

const A = '02:00:00:00:00:0a';
const B = '02:00:00:00:00:0b';

function met(address: string, mac: string | null, own: readonly string[] = [], reach: Met['reach'] = 'onlink'): Met {
  const documents = own.length === 0 ? [] : [{ identity: { macs: own } }];
  return {
    address,
    reach,
    mac,
    alive: true,
    printPorts: [],
    knocked: { open: [], alive: true, lossy: false },
    said: { documents },
    server: null,
  } as unknown as Met;
}

function row(address: string, mac: string | null, state: NeighbourRow['state'] = 'reachable'): NeighbourRow {
  return { kind: 'entry', address, mac, state, interface: 'eth0' };
}

function conflicts(mets: readonly Met[], rows: readonly NeighbourRow[] = []): readonly string[] {
  const proxies = new Proxies();
  for (const { address, mac } of mets) if (mac !== null) proxies.note(address, mac);
  return addressConflicts(new Map(mets.map((one) => [one.address, one])), rows, proxies);
}

/** Signs of a conflict: RFC 5227 section 1; hardware addresses that a device tells: ifPhysAddress, RFC 2863 section 6. */
describe('two devices at one address', () => {
  test('the link shows one hardware address and later another', () => {
    const [said, ...more] = conflicts([met('192.0.2.5', A)], [row('192.0.2.5', B)]);
    expect(said).toBe(
      `Two devices may have the address 192.0.2.5: the link showed ${A} first and ${B} later. Run "outfeed why 192.0.2.5" to look closer.`,
    );
    expect(more).toEqual([]);
  });

  test('the device says that it is another than the link shows', () => {
    expect(conflicts([met('192.0.2.5', A, [B])], [row('192.0.2.5', A)])[0]).toContain(
      `the device says that it is ${B}`,
    );
  });

  test('no conflict: the same again, a device with two sockets, a failed row, no link', () => {
    expect(conflicts([met('192.0.2.5', A, [A, B])], [row('192.0.2.5', A)])).toEqual([]);
    expect(conflicts([met('192.0.2.5', A)], [row('192.0.2.5', B, 'failed'), row('192.0.2.5', null)])).toEqual([]);
    expect(conflicts([met('198.51.100.5', A, [B], 'routed'), met('192.0.2.6', null, [B])])).toEqual([]);
  });

  test('one that answers for everybody is a proxy and no conflict', () => {
    const many = [1, 2, 3, 4, 5].map((last) => met(`192.0.2.${last}`, A, [B]));
    expect(conflicts(many)).toEqual([]);
  });
});
