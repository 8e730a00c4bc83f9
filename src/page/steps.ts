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

/** Cautions that were not said before, in one block. */
export function cautionList(cautions: readonly string[], said: Set<string>, { printer }: Words): Markup | null {
  const fresh = cautions.filter((text) => !said.has(text));
  for (const text of fresh) said.add(text);
  if (fresh.length === 0) return null;
  const items = fresh.map((text) => markup`<li>${named(text, 600)}</li>`);
  return markup`<div class="care"><b>${printer.care}</b><ul>${items}</ul></div>`;
}
