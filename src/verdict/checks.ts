import type { OperatorCheck } from '../ladder/checks.js';
import { likelihoodOf, OPERATOR_CHECKS } from '../ladder/likelihood.js';
import type { Check, Suspect } from '../model/why.js';

/** A sheet of paper costs as much as this many minutes of somebody's time: common practice, no published source. */
const MINUTES_A_SHEET = 0.5;
/** A check that tells less than this is not worth a walk. */
export const LEAST_BITS = 0.01;

/** Shannon entropy in bits (Shannon 1948, section 6) of probabilities that sum to one. */
export function entropy(probabilities: readonly number[]): number {
  return probabilities.reduce((sum, p) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
}

/** Chances of a check's outcomes under one hypothesis, and the belief in it. */
export interface Believed {
  readonly probability: number;
  readonly chances: readonly number[];
}

/**
 * Expected information of a check in bits: the entropy of its outcomes less the mean entropy of an outcome once the
 * cause is known (mutual information). Never negative but for rounding.
 */
export function informationBits(hypotheses: readonly Believed[]): number {
  const outcomes = hypotheses[0]?.chances.map((_, at) =>
    hypotheses.reduce((sum, { probability, chances }) => sum + probability * (chances[at] ?? 0), 0),
  );
  const within = hypotheses.reduce((sum, { probability, chances }) => sum + probability * entropy(chances), 0);
  return Math.max(0, entropy(outcomes ?? []) - within);
}

/** `informationBits` of one of the ladder's checks. */
export function expectedBits(check: OperatorCheck, suspects: readonly Suspect[]): number {
  const chances = (s: Suspect) => check.outcomes.map((outcome) => likelihoodOf(check.id, outcome, s.layer, s.cause));
  return informationBits(suspects.map((s) => ({ probability: s.probability, chances: chances(s) })));
}

/** What a check costs, in minutes; sheets count as time. */
export function checkCost(check: Pick<OperatorCheck, 'minutes' | 'sheets'>): number {
  return check.minutes + check.sheets * MINUTES_A_SHEET;
}

/** The checks still worth making, by bits for a minute, best first. */
export function nextChecks(suspects: readonly Suspect[], answered: readonly string[], most: number): readonly Check[] {
  return OPERATOR_CHECKS.filter((check) => !answered.includes(check.id))
    .map((check) => ({ check, bits: expectedBits(check, suspects) }))
    .filter(({ bits }) => bits >= LEAST_BITS)
    .sort((a, b) => b.bits / checkCost(b.check) - a.bits / checkCost(a.check) || a.check.id.localeCompare(b.check.id))
    .slice(0, most)
    .map(({ check, bits }) => ({
      id: check.id,
      ask: check.ask,
      minutes: check.minutes,
      bits: Math.round(bits * 1000) / 1000,
      sheets: check.sheets,
      outcomes: check.outcomes,
    }));
}
