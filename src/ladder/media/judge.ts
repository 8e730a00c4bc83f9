import type { Facts } from '../../facts/facts.js';
import type { LayerJudgement } from '../../model/layers.js';
import { findingsOf } from '../signals.js';
import { MEDIA_REASONS } from './reasons.js';

type Needs = Pick<Facts, 'condition' | 'printer'>;

/** Media: paper in and paper out. */
export function judge({ condition, printer }: Needs): LayerJudgement {
  if (!condition) return { findings: [], clearedBy: [], summary: 'The printer could not be read.' };
  const findings = findingsOf(condition.signals, MEDIA_REASONS);
  if (!printer) return { findings, clearedBy: [], summary: 'Paper is not reported.' };
  const { trays } = printer.document;
  const measured = trays.filter((t) => t.meaning === 'measured' || t.meaning === 'some-left').length;
  const ids = measured > 0 ? (printer.evidence.trays ?? []) : condition.stopped === false ? condition.evidence : [];
  const summary =
    measured > 0 ? `Paper in ${measured} of ${trays.length} trays by its own word.` : 'It complains of no paper fault.';
  return { findings, clearedBy: ids, summary: ids.length > 0 ? summary : 'Paper is not reported.' };
}
