import { holdsPaper, isEmptyTray } from '../../facts/condition/from-parts.js';
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
  const holding = trays.filter(holdsPaper).length;
  const counted = `Paper in ${holding} of ${trays.length} trays by its own word.`;
  if (holding > 0) return { findings, clearedBy: printer.evidence.trays ?? [], summary: counted };
  // A printer that is fed by hand complains of nothing while no sheet lies there: that does not show that it can feed one.
  if (trays.length > 0 && trays.every(isEmptyTray)) return { findings, clearedBy: [], summary: counted };
  const ids = condition.stopped === false ? condition.evidence : [];
  return {
    findings,
    clearedBy: ids,
    summary: ids.length > 0 ? 'It complains of no paper fault.' : 'Paper is not reported.',
  };
}
