import { setTimeout as sleep } from 'node:timers/promises';
import type { Observation } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';

/** A proxy may take up to 0.8 s over its answer (Linux `proxy_delay`). */
const ANSWERED_MS = 1_000;

/**
 * Addresses of the target's /26 or nearer that have nothing to do with it: one bit differs, so that none is the address beside it, which
 * may be its own too.
 */
export function unrelated(target: string): readonly string[] {
  const match = /^(\d+\.\d+\.\d+)\.(\d+)$/.exec(target);
  if (match === null) return [];
  return [8, 16, 32].map((bit) => `${match[1]}.${Number(match[2]) ^ bit}`).filter((one) => !/\.(0|255)$/.test(one));
}

/**
 * Unrelated addresses for which the target's own hardware address answers as well: somebody answers for others (proxy ARP, RFC 1027).
 * `shown` gives the target's hardware address. Whoever is not there, or has another one, leaves no record.
 */
export async function proxiedToo(
  target: string,
  shown: Promise<string | null>,
  net: Net,
): Promise<readonly Observation[]> {
  const at = net.now().toISOString();
  const start = net.monotonic();
  const addresses = unrelated(target);
  const rouser = net.rouser();
  try {
    for (const address of addresses) rouser.rouse(address);
    const [mac] = await Promise.all([shown, sleep(ANSWERED_MS)]);
    if (mac === null) return [];
    const rows = (await net.neighbours()).filter((row) => row.mac === mac && addresses.includes(row.address));
    const tookMs = Math.round(net.monotonic() - start);
    return rows.map(({ address, state, interface: device }) => ({
      source: 'neighbour',
      what: 'entry',
      about: 'fellow',
      subject: address,
      outcome: 'answered',
      value: { kind: 'entry', state, mac, interface: device },
      at,
      tookMs,
    }));
  } finally {
    rouser.close();
  }
}
