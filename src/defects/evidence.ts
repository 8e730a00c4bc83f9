import type { RotatingPart } from './rotating-parts.js';

/** A sign that was found: the row of the table it belongs to, and what its sentence takes. */
export interface FoundSign {
  readonly when: string;
  readonly part?: string;
  readonly value?: string;
}

/** One answer of a person to one of the checks. */
export interface GivenAnswer {
  readonly check: string;
  readonly outcome: string;
}

/** What the distances of the marks say: for each kind or part, how likely it makes such marks. */
export interface MarkEvidence {
  /** Parts of the model, or kinds where there is no model, with their share of belief; the shares sum to one at most. */
  readonly sources: readonly MarkSource[];
  /** Belief that nothing in `sources` made them. */
  readonly another: number;
  /** `marks`: one turn between two marks. `ghost`: one turn between print and ghost. */
  readonly of: 'marks' | 'ghost';
}

export interface MarkSource {
  /** The kind that causes speak of; `other` for a part whose name tells none. */
  readonly kind: string;
  /** The model's own part; absent for a kind by its range alone. */
  readonly part?: RotatingPart;
  readonly share: number;
}
