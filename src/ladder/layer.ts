import type { Facts } from '../facts/facts.js';
import type { LayerId, LayerJudgement, NextStep, Severity } from '../model/layers.js';

/** What is known of one cause beforehand: severity, words, and how common it is. Words may hold `{component}` and `{name}` of a finding's detail. */
export interface Cause {
  readonly severity: Severity;
  /** One sentence that a person on the phone can act on. */
  readonly summary: string;
  /** One sentence more for the technician. */
  readonly technical: string;
  readonly next: readonly NextStep[];
  /** Relative frequency among printers said to be silent. "common practice, no published source". */
  readonly prior: number;
}

/**
 * One layer: the facts its judge needs, its causes, its judge. The judge gets the facts it named and nothing else;
 * a fact is undefined when there is no evidence for it.
 */
export interface Layer<N extends keyof Facts = keyof Facts> {
  readonly id: LayerId;
  readonly needs: readonly N[];
  readonly causes: Readonly<Record<string, Cause>>;
  readonly judge: (facts: Pick<Facts, N>) => LayerJudgement;
}
