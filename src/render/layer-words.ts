import { LAYERS, type LayerId, type LayerState } from '../model/layers.js';
import type { LayerEntry, WhyDocument } from '../model/why.js';

/** Word for each state of a layer. */
export const STATE_WORDS: Readonly<Record<LayerState, string>> = {
  clear: 'clear',
  warning: 'warning',
  fault: 'FAULT',
  unknown: 'unknown',
  'not-reached': 'not reached',
};

/**
 * Mark for each state, in US-ASCII so that it survives any terminal, ticket or mail. Read together they are the way
 * from the wall socket to the page: whole, whole with a warning, broken, unknown, not reached behind the break.
 */
export const STATE_MARKS: Readonly<Record<LayerState, string>> = {
  clear: '=',
  warning: '!',
  fault: 'X',
  unknown: '?',
  'not-reached': '.',
};

/** Place of a layer, counted from the wall socket: power is 1, application 13. */
export function layerNumber(layer: LayerId): number {
  return LAYERS.indexOf(layer) + 1;
}

/** Neighbouring layers in one state. A fault or a warning always stands alone, because it has something to say. */
export interface Run {
  readonly state: LayerState;
  readonly layers: readonly LayerEntry[];
}

/** Groups the layers into runs of equal state, in their order. */
export function runsOf(layers: readonly LayerEntry[]): readonly Run[] {
  const runs: Run[] = [];
  for (const entry of layers) {
    const last = runs.at(-1);
    const alone = entry.state === 'fault' || entry.state === 'warning';
    if (last !== undefined && last.state === entry.state && !alone) {
      runs[runs.length - 1] = { state: last.state, layers: [...last.layers, entry] };
    } else {
      runs.push({ state: entry.state, layers: [entry] });
    }
  }
  return runs;
}

/** True when the verdict names no fault. */
export function isAllWell(doc: WhyDocument): boolean {
  return doc.verdict.cause === 'nothing-wrong-found';
}

/** Says in one word or two how printing stands. */
export function standing(silent: boolean | null): string {
  if (silent === true) return 'silent';
  return silent === false ? 'can print' : 'not known';
}

/** The records behind the verdict: those its layer names; where no layer is at fault, those that show the printer well. */
export function behindVerdict(doc: WhyDocument): readonly string[] {
  const own = doc.layers.find((entry) => entry.layer === doc.verdict.layer)?.evidence ?? [];
  if (own.length > 0) return own;
  const shown = doc.layers.filter((entry) => ['port', 'protocol', 'device'].includes(entry.layer));
  return [...new Set(shown.flatMap((entry) => entry.evidence))];
}

/** Put before the verdict's sentence, so that a guess never reads like a fact. */
export function hedge(doc: WhyDocument): string {
  if (isAllWell(doc) || doc.verdict.certainty === 'sure') return '';
  if (doc.verdict.certainty === 'likely') return 'Probably: ';
  const top = doc.suspects[0];
  const odds = top?.cause === doc.verdict.cause ? `, ${Math.round(top.probability * 100)} %` : '';
  return `Best guess${odds}: `;
}
