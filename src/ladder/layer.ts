import type { Facts } from '../facts/facts.js';
import type { LayerId, LayerJudgement, NextStep, Severity } from '../model/layers.js';

/** What is known of one cause beforehand: severity, words, and how common it is. */
export interface Cause {
  readonly severity: Severity;
  /**
   * One sentence that a person on the phone can act on. `{component|a paper tray}` stands for the finding's component, any
   * other name before the bar for the value of that name in the finding's detail; the text after the bar is used when
   * there is none. Only `summary` and `asWarning` hold placeholders.
   */
  readonly summary: string;
  /** The same for a finding that only warns: what is reported does not stop the printer. Without it the summary serves. */
  readonly asWarning?: string;
  /** One sentence more for the technician. */
  readonly technical: string;
  readonly next: readonly NextStep[];
  /** Relative frequency among printers said to be silent. "common practice, no published source". */
  readonly prior: number;
  /** What evidence confirms it. */
  readonly confirms?: string;
  /** What evidence rules it out. */
  readonly rulesOut?: string;
  /** Ids of causes, of any layer, that show themselves in much the same way. */
  readonly looksAlike?: readonly string[];
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
