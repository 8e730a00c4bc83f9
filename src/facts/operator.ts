import type { Evidence } from '../model/evidence.js';
import { from } from './fact.js';

export interface OperatorAnswer {
  readonly check: string;
  readonly outcome: string;
  readonly id: string;
}
export type OperatorFact = readonly OperatorAnswer[];

/** Answers that a person gave to the planner's checks. */
export function readOperator(evidence: readonly Evidence[]): OperatorFact | undefined {
  const answers = from(evidence, 'operator').flatMap((r) =>
    r.value === null ? [] : [{ check: r.what, outcome: r.value, id: r.id }],
  );
  return answers.length > 0 ? answers : undefined;
}
