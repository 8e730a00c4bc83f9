import type { LayerId } from '../model/layers.js';
import { CHECKS, type OperatorCheck } from './checks.js';

/** The checks by id, as their common type: each literal in the table has one of its own. */
export const OPERATOR_CHECKS: readonly OperatorCheck[] = CHECKS;

const BY_ID: ReadonlyMap<string, OperatorCheck> = new Map(OPERATOR_CHECKS.map((check) => [check.id, check]));

/**
 * Probability of an outcome of a check given a cause: the cause's own row, else its layer's, else the default.
 * An answer that the check does not know says nothing: 1 for every cause.
 */
export function likelihoodOf(checkId: string, outcome: string, layer: LayerId, cause: string): number {
  const check = BY_ID.get(checkId);
  const column = check?.outcomes.indexOf(outcome) ?? -1;
  if (!check || column < 0) return 1;
  const { causes, layers, default: others } = check.likelihood;
  const row = (causes && Object.hasOwn(causes, cause) ? causes[cause] : undefined) ?? layers?.[layer] ?? others;
  return row[column] ?? 1;
}
