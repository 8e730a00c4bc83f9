import type { Evidence, Outcome, SnmpAttempt, SnmpEvidence } from '../model/evidence.js';
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
  /** True when a part of its answers did not come: what it has not said may only have been lost. */
  readonly partial: boolean;
  readonly evidence: readonly string[];
}

function isLacking({ outcome, value }: SnmpEvidence): boolean {
  return outcome === 'silent' || (value?.kind === 'table' && value.cut === true);
}

/** How the SNMP agent took the question. */
export function readSnmp(evidence: readonly Evidence[]): SnmpFact | undefined {
  const records = from(evidence, 'snmp').filter((r) => r.about === 'target');
  const record = records.find((r) => r.what === 'session');
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
    partial: record.outcome === 'answered' && records.some(isLacking),
    evidence: [record.id],
  };
}
