import { causeOf } from '../ladder/ladder.js';
import type { LayerId } from '../model/layers.js';
import { named } from '../render/site-words.js';
import { summaryOf } from '../verdict/words.js';

/** The sentence of a cause, where only its id is known. */
export function causeSentence(layer: LayerId, cause: string, component: string | null): string {
  const part = component === null ? {} : { component };
  const finding = { cause, severity: 'fault', certainty: 'possible', evidence: [], ...part } as const;
  return named(summaryOf(causeOf(layer, cause), finding), 300);
}
