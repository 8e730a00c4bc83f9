import type { Observation } from '../../model/evidence.js';
import type { Probe } from '../probe.js';

/** Hardware address that the first look at the link gave for the target; null when it gave none. */
function firstMac(seen: readonly Observation[]): string | null {
  const values = seen.flatMap((r) => (r.source === 'neighbour' && r.about === 'target' ? [r.value] : []));
  const entry = values.find((value) => value?.kind === 'entry');
  return entry?.kind === 'entry' ? entry.mac : null;
}

/**
 * Looks at the target's row of the neighbour table once more, after everything else was asked. Two devices that claim one
 * address come to light when the row's hardware address changes meanwhile (RFC 5227 2.4). No record when it did not.
 */
export const secondLookProbe: Probe = {
  id: 'neighbour',
  late: (_target, seen) => firstMac(seen) !== null,
  run: async (target, net, _limits, seen = []) => {
    const before = firstMac(seen);
    const at = net.now().toISOString();
    const start = net.monotonic();
    const row = (await net.neighbours()).find(({ address, mac }) => address === target.host && mac !== null);
    if (row === undefined || row.mac === before) return [];
    return [
      {
        source: 'neighbour',
        what: 'entry',
        about: 'target',
        subject: target.host,
        outcome: 'answered',
        value: { kind: 'entry', state: row.state, mac: row.mac, interface: row.interface },
        at,
        tookMs: Math.round(net.monotonic() - start),
      },
    ];
  },
};
