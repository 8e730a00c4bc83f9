import type { Evidence, SwitchValue } from '../model/evidence.js';
import { from } from './fact.js';

export interface SwitchFact extends SwitchValue {
  /** True: the port has a link. False: it has none. Null: the switch does not say. */
  readonly link: boolean | null;
  readonly evidence: readonly string[];
}

/** What the managed switch says of the printer's port. Undefined when none was asked or it gave no answer. */
export function readSwitch(evidence: readonly Evidence[]): SwitchFact | undefined {
  const record = from(evidence, 'switch').find((r) => r.about === 'target' && r.outcome === 'answered');
  if (!record?.value) return undefined;
  const { operStatus } = record.value;
  const down = operStatus === 'down' || operStatus === 'lowerLayerDown' || operStatus === 'notPresent';
  return { ...record.value, link: operStatus === 'up' ? true : down ? false : null, evidence: [record.id] };
}
