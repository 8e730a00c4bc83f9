import type { Facts } from '../facts/facts.js';
import type { LayerJudgement } from '../model/layers.js';

/** Causes of the address layer by which another device than the one meant gives the answers. */
const STRANGERS: ReadonlySet<string> = new Set([
  'another-device-here',
  'name-points-elsewhere',
  'moved',
  'address-conflict',
]);

/** Whether the answers from the address are another device's, going by what the address layer found. */
export function isStranger(address: LayerJudgement, { expected }: Pick<Facts, 'expected'>): boolean {
  if (expected?.verdict === 'same') return false;
  return address.findings.some((f) => f.severity === 'fault' && STRANGERS.has(f.cause));
}

/** What stays of a judgement without another device's answers: neither its faults nor its health are the printer's. */
export function withoutStranger(judgement: LayerJudgement, heard: ReadonlySet<string>): LayerJudgement {
  const findings = judgement.findings.filter((f) => !f.evidence.some((id) => heard.has(id)));
  const clearedBy = judgement.clearedBy.filter((id) => !heard.has(id));
  const unchanged = clearedBy.length === judgement.clearedBy.length;
  return unchanged ? { ...judgement, findings } : { findings, clearedBy, summary: 'Another device answers.' };
}
