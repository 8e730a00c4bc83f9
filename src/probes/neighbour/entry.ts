import type { About, NeighbourState, Observation, Outcome } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';

const OUTCOMES: Readonly<Record<NeighbourState, Outcome>> = {
  reachable: 'answered',
  permanent: 'answered',
  // An old answer, or one still being checked, is no answer to this question.
  stale: 'silent',
  delay: 'silent',
  probe: 'silent',
  incomplete: 'silent',
  failed: 'silent',
  // A link without address resolution, or no row at all: the question could not be asked.
  noarp: 'failed',
  absent: 'failed',
};

/** One address resolved afresh, as a record. */
export async function askEntry(about: About, address: string, net: Net, timeoutMs: number): Promise<Observation> {
  const at = net.now().toISOString();
  const start = net.monotonic();
  const value = await net.neighbour(address, timeoutMs);
  return {
    source: 'neighbour',
    what: 'entry',
    about,
    subject: address,
    outcome: OUTCOMES[value.state],
    value,
    at,
    tookMs: Math.round(net.monotonic() - start),
  };
}
