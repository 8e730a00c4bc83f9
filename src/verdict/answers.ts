import { CHECKS } from '../ladder/checks.js';
import type { Evidence } from '../model/evidence.js';
import type { EvidenceBundle } from '../model/why.js';

/** What a person saw: one check and which of its outcomes came. */
export interface Answer {
  readonly check: string;
  readonly outcome: string;
}

/** A check as far as an answer goes. */
export interface Answerable {
  readonly id: string;
  readonly outcomes: readonly string[];
}

/** The ladder's checks. */
export const LADDER_CHECKS: readonly Answerable[] = CHECKS;

/** The bundle with answers added as evidence. A later answer to the same check takes the place of an earlier one. */
export function withAnswers(bundle: EvidenceBundle, answers: readonly Answer[], at: string): EvidenceBundle {
  const last = new Map(answers.map((answer) => [answer.check, answer]));
  const kept = bundle.evidence.filter((record) => record.source !== 'operator' || !last.has(record.what));
  const from = 1 + Math.max(0, ...bundle.evidence.map((record) => Number(/^e(\d+)$/.exec(record.id)?.[1] ?? 0)));
  const added = [...last.values()].map(
    ({ check, outcome }, offset): Evidence => ({
      id: `e${from + offset}`,
      source: 'operator',
      what: check,
      about: 'target',
      subject: bundle.target,
      outcome: 'answered',
      value: outcome,
      at,
      tookMs: 0,
    }),
  );
  return { ...bundle, evidence: [...kept, ...added] };
}
