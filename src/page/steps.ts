import type { NextStep } from '../model/layers.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import type { Words } from './words.js';

/** Steps with their minutes and cautions. A caution stands where it first matters: said at every step it is read at none. */
export function stepList(next: readonly NextStep[], words: Words): Markup | null {
  if (next.length === 0) return null;
  const said = new Set<string>();
  const items = next.map(({ step, minutes, cautions }) => {
    const care = cautionList(cautions, said, words);
    return markup`<li><span class="min num">${words.overview.minutes(minutes)}</span><span>${named(step, 600)}</span>${care}</li>`;
  });
  return markup`<ol class="next">${items}</ol>`;
}

/** Cautions that were not said before. */
export function cautionList(cautions: readonly string[], said: Set<string>, words: Words): readonly Markup[] {
  const fresh = cautions.filter((text) => !said.has(text));
  for (const text of fresh) said.add(text);
  return fresh.map((text) => markup`<p class="care"><b>${words.printer.care}</b> ${named(text, 600)}</p>`);
}
