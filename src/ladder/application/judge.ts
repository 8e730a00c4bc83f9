import type { Facts } from '../../facts/facts.js';
import type { LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'operator' | 'queues' | 'condition'>;

/**
 * Application: reached by elimination only. A person's answer that another program prints leaves the first one;
 * whether anything below is at fault is decided by the walk over all layers.
 */
export function judge({ operator }: Needs): LayerJudgement {
  const answer = operator?.find((a) => a.check === 'other-application');
  if (answer?.outcome !== 'yes') {
    return { findings: [], clearedBy: [], summary: 'The program that prints can not be seen from here.' };
  }
  return {
    findings: [{ cause: 'application-or-driver', severity: 'fault', certainty: 'likely', evidence: [answer.id] }],
    clearedBy: [],
  };
}
