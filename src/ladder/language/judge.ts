import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';
import { findingsOf } from '../signals.js';
import { LANGUAGE_REASONS } from './reasons.js';

type Needs = Pick<Facts, 'condition' | 'ipp' | 'queues'>;

function refusedFormat({ ipp, queues }: Needs): Finding[] {
  const steps = [ipp?.validate, ...(queues ?? []).map((q) => q.validate)];
  const refused = steps.find((step) => step?.result === 'format-refused');
  if (!refused) return [];
  const detail = { uri: refused.uri, code: refused.code };
  return [{ cause: 'format-unsupported', severity: 'fault', certainty: 'sure', detail, evidence: refused.evidence }];
}

/** Language: can the printer read what is sent? Without a job in hand nothing clears it. */
export function judge(facts: Needs): LayerJudgement {
  const spoken = facts.condition ? findingsOf(facts.condition.signals, LANGUAGE_REASONS) : [];
  const findings = [...refusedFormat(facts), ...spoken];
  return { findings, clearedBy: [], summary: 'No job was at hand to compare with what the printer reads.' };
}
