import type { Suspect } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { causeSentence } from './cause-words.js';
import { percent } from './verdict-words.js';
import type { Words } from './words.js';

/** What it may be, with bars: a person sees at once how far apart they are. */
export function suspectList(suspects: readonly Suspect[], words: Words): Markup {
  const rows = suspects.map(({ layer, cause, probability }) => {
    const width = Math.round(probability * 100);
    return markup`<li><span class="name">${causeSentence(layer, cause, null)} <span class="tag">${words.layers[layer]}</span></span><span class="amount">${percent(probability)}</span><svg class="bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" focusable="false"><rect class="track" width="100" height="10"/><rect class="weight" width="${width}" height="10"/></svg></li>`;
  });
  return markup`<ul class="levels">${rows}</ul>`;
}
