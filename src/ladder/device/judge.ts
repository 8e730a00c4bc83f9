import type { ConditionFact } from '../../facts/condition/condition.js';
import type { Signal } from '../../facts/condition/signal.js';
import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';
import { LANGUAGE_REASONS } from '../language/reasons.js';
import { MEDIA_REASONS } from '../media/reasons.js';
import { claimedBy, findingsOf } from '../signals.js';
import { SUPPLY_REASONS } from '../supplies/reasons.js';
import { DEVICE_REASONS } from './reasons.js';

type Needs = Pick<Facts, 'condition' | 'ipp'>;

const ELSEWHERE = [...MEDIA_REASONS, ...SUPPLY_REASONS, ...LANGUAGE_REASONS];

/**
 * The bare stop read from the state objects, left out where a word of the printer stands for a cause after all: makers
 * form words that no registry holds by the pattern of those it does.
 */
function withoutBareStop(signals: readonly Signal[]): readonly Signal[] {
  const said = signals.some(
    (s) => s.weight === 'stop' && s.witness !== 'status' && (claimedBy(s, DEVICE_REASONS) ?? claimedBy(s, ELSEWHERE)),
  );
  return said ? signals.filter((s) => s.witness !== 'status') : signals;
}

/** Words of a maker that no registry knows. They stop the printer if it says so, and are passed on as they are. */
function unclaimed(signals: readonly Signal[]): Finding[] {
  const strange = signals.filter(
    (s) => s.weight === 'stop' && !claimedBy(s, DEVICE_REASONS) && !claimedBy(s, ELSEWHERE),
  );
  const first = strange[0];
  if (!first) return [];
  return [
    {
      cause: 'stopped',
      severity: 'fault',
      certainty: 'likely',
      ...(first.component ? { component: first.component } : {}),
      detail: { reason: first.reason, ...(first.description ? { said: first.description } : {}) },
      evidence: first.evidence,
    },
  ];
}

/** Not accepting is a consequence of most stops and normal while one job prints; alone, or beside a pause, it is a fault. */
function notAccepting(condition: ConditionFact, findings: readonly Finding[], refused: readonly string[]): Finding[] {
  const explained = condition.signals.some((s) => s.weight === 'stop' && s.reason !== 'paused');
  if (explained || findings.some((f) => f.severity === 'fault' && f.cause !== 'paused')) return [];
  if (condition.word.busy) return [];
  const says = condition.accepting === false;
  if (!says && refused.length === 0) return [];
  return [
    {
      cause: 'not-accepting-jobs',
      severity: 'fault',
      certainty: 'sure',
      evidence: [...(says ? condition.evidence : []), ...refused],
    },
  ];
}

function startingUp({ word, evidence }: ConditionFact): Finding[] {
  return word.warmingUp ? [{ cause: 'starting-up', severity: 'warning', certainty: 'sure', evidence }] : [];
}

/** One finding for a cause: a word of the printer and a rule may come to the same. */
function once(findings: readonly Finding[]): Finding[] {
  return findings.filter((f, i) => findings.findIndex((other) => other.cause === f.cause) === i);
}

/** Read where this layer has no fault of its own. */
function summaryOf(stopped: boolean | null): string {
  if (stopped === null) return 'Its own words do not say whether it can print.';
  return stopped ? 'It has stopped, for a reason that another layer names.' : 'By its own word it can print.';
}

/** Device: what the printer says of its own mechanism. */
export function judge({ condition, ipp }: Needs): LayerJudgement {
  if (!condition) return { findings: [], clearedBy: [], summary: 'The printer could not be read.' };
  const signals = withoutBareStop(condition.signals);
  const claimed = findingsOf(signals, DEVICE_REASONS);
  const known = once([...claimed, ...unclaimed(signals), ...startingUp(condition)]);
  const refused = ipp?.validate?.result === 'not-accepting' ? ipp.validate.evidence : [];
  const findings = [...known, ...notAccepting(condition, known, refused)];
  const runs =
    condition.stopped === false || (condition.stopped === true && findings.every((f) => f.severity !== 'fault'));
  return { findings, clearedBy: runs ? condition.evidence : [], summary: summaryOf(condition.stopped) };
}
