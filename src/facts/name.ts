import type { Evidence } from '../model/evidence.js';
import { from } from './fact.js';

export interface NameFact {
  readonly name: string;
  readonly addresses: readonly string[];
  readonly resolved: boolean;
  /** The resolver gave no answer, or failed itself (EAI_AGAIN), so the name is not to blame yet. */
  readonly resolverSilent: boolean;
  readonly code: string | null;
  readonly evidence: readonly string[];
}

/** What the resolver said of the target's name. Undefined when the target was an address. */
export function readName(evidence: readonly Evidence[]): NameFact | undefined {
  const record = from(evidence, 'dns').find((r) => r.about === 'target');
  if (!record) return undefined;
  const addresses = record.value?.addresses ?? [];
  return {
    name: record.what,
    addresses,
    resolved: record.outcome === 'answered' && addresses.length > 0,
    resolverSilent: record.outcome === 'silent' || record.value?.code === 'EAI_AGAIN',
    code: record.value?.code ?? null,
    evidence: [record.id],
  };
}
