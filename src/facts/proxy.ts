import type { Evidence } from '../model/evidence.js';
import { from } from './fact.js';

/** Somebody on the link answers for addresses that are not its own (proxy ARP, RFC 1027). */
export interface ProxyFact {
  readonly mac: string;
  readonly evidence: readonly string[];
}

/** So many other addresses behind the target's hardware address are no device's second socket. Common practice, no published source. */
const OTHERS = 2;

/** Whoever answers for the target's address and for others of the link as well. Undefined where nobody was seen to. */
export function readProxy(evidence: readonly Evidence[]): ProxyFact | undefined {
  const entries = from(evidence, 'neighbour').flatMap((r) =>
    r.value?.kind === 'entry' && r.value.mac !== null && r.outcome === 'answered'
      ? [{ id: r.id, about: r.about, subject: r.subject, mac: r.value.mac }]
      : [],
  );
  for (const { mac } of entries.filter(({ about }) => about === 'target')) {
    const same = entries.filter((entry) => entry.mac === mac);
    const others = same.filter(({ about }) => about === 'fellow' || about === 'gateway');
    if (new Set(others.map(({ subject }) => subject)).size >= OTHERS)
      return { mac, evidence: same.map(({ id }) => id) };
  }
  return undefined;
}
