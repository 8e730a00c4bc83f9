import type { Facts } from '../../facts/facts.js';
import type { LayerJudgement } from '../../model/layers.js';
import { findingsOf } from '../signals.js';
import { SUPPLY_REASONS } from './reasons.js';

type Needs = Pick<Facts, 'condition' | 'printer'>;

/** Supplies: toner, ink, waste boxes and the parts that wear. */
export function judge({ condition, printer }: Needs): LayerJudgement {
  if (!condition) return { findings: [], clearedBy: [], summary: 'The printer could not be read.' };
  const findings = findingsOf(condition.signals, SUPPLY_REASONS);
  if (!printer) return { findings, clearedBy: [], summary: 'Supplies are not reported.' };
  const lowest = printer.document.supplies
    .filter((s) => s.percent !== null)
    .sort((a, b) => (a.percent ?? 0) - (b.percent ?? 0))[0];
  if (lowest) {
    const summary = `Lowest: ${lowest.name}, ${Math.round(lowest.percent ?? 0)} %.`;
    return { findings, clearedBy: printer.evidence.supplies ?? [], summary };
  }
  const ids = condition.stopped === false ? condition.evidence : [];
  return {
    findings,
    clearedBy: ids,
    summary: ids.length > 0 ? 'It complains of no supply.' : 'Supplies are not reported.',
  };
}
