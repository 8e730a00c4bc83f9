import type { Evidence } from '../model/evidence.js';
import type { LayerEntry, WhyDocument } from '../model/why.js';
import { describeEvidence } from '../render/evidence-words.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { stateMark } from '../render/svg.js';
import type { Words } from './words.js';

const MOST_RECORDS = 40;

/** All thirteen layers from the wall socket up, each with its state, what was found, and the evidence behind it. */
export function ladder({ layers, evidence }: WhyDocument, words: Words): Markup {
  const byId = new Map(evidence.map((record) => [record.id, record]));
  const rungs = layers.map((entry) => rung(entry, byId, words));
  return markup`<ol class="way">${rungs}</ol>`;
}

function rung(entry: LayerEntry, byId: ReadonlyMap<string, Evidence>, words: Words): Markup {
  const { state, layer, component } = entry;
  const telling = state === 'fault' || state === 'warning';
  const part = component === undefined ? '' : ` (${named(component, 60)})`;
  const note = markup`<span class="note">${named(entry.summary, 400)}${telling ? part : ''}</span>`;
  return markup`<li class="is-${state}"><span class="line s-${state}">${stateMark(state)}</span><div class="say"><span class="s-${state}"><span class="layer">${words.layers[layer]}</span> <span class="state">${words.states[state]}</span></span>${note}${evidenceOf(entry, byId, words)}</div></li>`;
}

/** What is behind a fault is open at once: it is what people want to believe or not. */
function evidenceOf({ layer, state, evidence }: LayerEntry, byId: ReadonlyMap<string, Evidence>, words: Words) {
  const records = evidence.flatMap((id) => byId.get(id) ?? []);
  if (records.length === 0) return null;
  const items = records
    .slice(0, MOST_RECORDS)
    .map(
      (record) =>
        markup`<li><code>${named(record.id, 12)}</code><span>${named(describeEvidence(record), 400)}</span></li>`,
    );
  const open = state === 'fault' ? markup` open` : null;
  return markup`<details id="e-${layer}"${open}><summary>${words.printer.evidence(records.length)}</summary><ol class="records">${items}</ol></details>`;
}
