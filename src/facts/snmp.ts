import type { Evidence, Outcome, SnmpAttempt } from '../model/evidence.js';
import { from } from './fact.js';

export interface SnmpFact {
  readonly outcome: Outcome;
  readonly attempts: readonly SnmpAttempt[];
  /** Name of the refusal, where the agent gave one. */
  readonly denial: string | null;
  readonly problems: readonly string[];
  readonly evidence: readonly string[];
}

/** How the SNMP agent took the question. */
export function readSnmp(evidence: readonly Evidence[]): SnmpFact | undefined {
  const record = from(evidence, 'snmp').find((r) => r.about === 'target' && r.what === 'session');
  if (!record) return undefined;
  const value = record.value?.kind === 'session' ? record.value : null;
  const denied = value?.attempts.find((a) => a.outcome === 'denied');
  return {
    outcome: record.outcome,
    attempts: value?.attempts ?? [],
    denial: denied ? (denied.detail ?? denied.label) : null,
    problems: value?.problems ?? [],
    evidence: [record.id],
  };
}
