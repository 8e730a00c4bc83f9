import type { Evidence, Outcome } from '../model/evidence.js';
import { type Bearing, groupOf, reasonOfCode } from '../wire/pjl/codes.js';
import { from } from './fact.js';
import { portOfUri } from './ports.js';
import { cleanTextOrNull } from './printer/clean-text.js';

export interface PjlFact {
  readonly outcome: Outcome;
  /** Raw port that was asked. */
  readonly port: number;
  readonly code: number | null;
  /** What kind of thing the code speaks of, in words. */
  readonly about: string | null;
  readonly bearing: Bearing | null;
  /** printer-state-reasons keyword of the code, null where none is certain. */
  readonly reason: string | null;
  readonly display: string | null;
  readonly online: boolean | null;
  readonly evidence: readonly string[];
}

/** What the printer said of its state over the raw port. Undefined when it was not asked. */
export function readPjl(evidence: readonly Evidence[]): PjlFact | undefined {
  const record = from(evidence, 'pjl').find((r) => r.about === 'target');
  if (!record) return undefined;
  const said = record.outcome === 'answered' ? record.value : null;
  const code = typeof said?.code === 'number' ? said.code : null;
  const group = code === null ? undefined : groupOf(code);
  return {
    outcome: record.outcome,
    port: portOfUri(record.subject),
    code,
    about: group?.name ?? null,
    bearing: group?.bearing ?? null,
    reason: code === null ? null : reasonOfCode(code),
    display: typeof said?.display === 'string' ? cleanTextOrNull(said.display) : null,
    online: typeof said?.online === 'boolean' ? said.online : null,
    evidence: [record.id],
  };
}
