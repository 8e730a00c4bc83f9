import type { Evidence, Source } from '../model/evidence.js';
import { idsOf } from './fact.js';

const BY_ADDRESS: ReadonlySet<Source> = new Set(['icmp', 'tcp', 'http', 'dns-sd', 'snmp', 'ipp', 'lpd', 'pjl']);

/** Ids of all that was learned by asking the target's address: it speaks of whoever has that address. */
export function readHeard(evidence: readonly Evidence[]): ReadonlySet<string> {
  return new Set(idsOf(evidence.filter((r) => r.about === 'target' && BY_ADDRESS.has(r.source))));
}
