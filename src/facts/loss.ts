import type { Evidence } from '../model/evidence.js';
import { from, idsOf } from './fact.js';

/** Packets get lost on the way to the target. */
export interface LossFact {
  readonly evidence: readonly string[];
}

/** A system sends its second call after a second (RFC 6298 section 2.1); so much lies between a call that came through and one that did not. */
const CALLED_TWICE_MS = 950;
const APART_MS = 800;

/**
 * Calls to several ports go out together. A host that is slow, or far away, is so to all of them; where one is answered at once and
 * another only when it was sent again, that one was lost. Undefined when nothing of the kind was seen.
 */
export function readLoss(evidence: readonly Evidence[]): LossFact | undefined {
  const answered = from(evidence, 'tcp').filter(
    (r) => r.about === 'target' && (r.outcome === 'answered' || r.outcome === 'refused'),
  );
  const soonestOf = (records: typeof answered): number => Math.min(...records.map(({ tookMs }) => tookMs));
  const soonest = soonestOf(answered);
  const soonestNo = soonestOf(answered.filter(({ outcome }) => outcome === 'refused'));
  const late = answered.filter(({ outcome, tookMs }) => {
    // Windows takes no first refusal for an answer and calls again (from memory): refusals are late there, all of them.
    const base = outcome === 'refused' ? soonestNo : soonest;
    return tookMs >= CALLED_TWICE_MS && tookMs - base >= APART_MS;
  });
  return late.length === 0 ? undefined : { evidence: idsOf(late) };
}
