import type { Evidence } from '../model/evidence.js';
import { from, idsOf } from './fact.js';

/** Small packets reach the target and come back; full-sized ones don't, and nobody says why (RFC 2923 section 2.1). */
export interface PathFact {
  readonly evidence: readonly string[];
}

/** Undefined unless a full-sized echo got lost where a small one came back. One that somebody says is too long is not lost (RFC 1191). */
export function readPath(evidence: readonly Evidence[]): PathFact | undefined {
  const echoes = from(evidence, 'icmp').filter((r) => r.about === 'target');
  const small = echoes.find((r) => r.what === 'echo' && r.outcome === 'answered');
  const full = echoes.find((r) => r.what === 'full-sized echo' && r.outcome === 'silent');
  return small === undefined || full === undefined ? undefined : { evidence: idsOf([small, full]) };
}
