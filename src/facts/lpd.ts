import type { Evidence, Outcome } from '../model/evidence.js';
import { type LpdState, readState } from '../wire/lpd/state.js';
import { from } from './fact.js';

export interface LpdFact {
  readonly uri: string;
  /** Name of the queue. */
  readonly name: string;
  readonly outcome: Outcome;
  /** What the daemon said; null when it said nothing that could be read. */
  readonly state: LpdState | null;
  readonly evidence: readonly string[];
}

/** Every queue of a line printer daemon that was asked, in the order asked. Undefined when none was. */
export function readLpd(evidence: readonly Evidence[]): readonly LpdFact[] | undefined {
  const records = from(evidence, 'lpd');
  const uris = [...new Set(records.map((r) => r.subject))];
  const queues = uris.flatMap((uri): LpdFact[] => {
    const own = records.filter((r) => r.subject === uri);
    const short = own.find((r) => r.what === 'short state') ?? own[0];
    if (short === undefined) return [];
    const text = short.outcome === 'answered' && typeof short.value?.text === 'string' ? short.value.text : null;
    return [
      {
        uri,
        name: nameOf(uri),
        outcome: short.outcome,
        state: text === null ? null : readState(text),
        evidence: own.map((r) => r.id),
      },
    ];
  });
  return queues.length === 0 ? undefined : queues;
}

function nameOf(uri: string): string {
  const path = /^[a-z]+:\/\/[^/]*\/([^?#]*)/i.exec(uri)?.[1] ?? '';
  try {
    return decodeURIComponent(path) || uri;
  } catch {
    return path || uri;
  }
}
