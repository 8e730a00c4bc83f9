import type { Evidence, RouteValue } from '../model/evidence.js';
import { from } from './fact.js';

export interface RouteFact extends RouteValue {
  readonly evidence: readonly string[];
}

/** How this machine reaches the target, from its own routing table. */
export function readRoute(evidence: readonly Evidence[]): RouteFact | undefined {
  const record = from(evidence, 'neighbour').find((r) => r.about === 'target' && r.value?.kind === 'route');
  if (record?.value?.kind !== 'route') return undefined;
  return { ...record.value, evidence: [record.id] };
}
