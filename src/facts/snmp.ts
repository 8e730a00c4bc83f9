import type { Evidence, Outcome, SnmpAttempt } from '../model/evidence.js';
import { from } from './fact.js';

/** Label of the attempt that only asks whether an agent is there. */
const NOBODY = 'without a name';

export interface SnmpFact {
  readonly outcome: Outcome;
  readonly attempts: readonly SnmpAttempt[];
  /** Name of the refusal, where the agent gave one. */
  readonly denial: string | null;
  /** False: only a question without any credentials was refused, the given ones met silence. */
  readonly denialIsOurs: boolean;
  readonly problems: readonly string[];
  readonly evidence: readonly string[];
}

/** How the SNMP agent took the question. */
export function readSnmp(evidence: readonly Evidence[]): SnmpFact | undefined {
  const record = from(evidence, 'snmp').find((r) => r.about === 'target' && r.what === 'session');
  if (!record) return undefined;
  const value = record.value?.kind === 'session' ? record.value : null;
  const denials = value?.attempts.filter((a) => a.outcome === 'denied') ?? [];
  const denied = denials.find((a) => a.label !== NOBODY) ?? denials[0];
  return {
    outcome: record.outcome,
    attempts: value?.attempts ?? [],
    denial: denied ? (denied.detail ?? denied.label) : null,
    denialIsOurs: denied !== undefined && denied.label !== NOBODY,
    problems: value?.problems ?? [],
    evidence: [record.id],
  };
}
