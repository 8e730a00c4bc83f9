import type { Suspect, WhyDocument } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { causeSentence } from './cause-words.js';
import { percent } from './verdict-words.js';
import type { Words } from './words.js';

/** What it may be, with bars: a person sees at once how far apart they are. */
export function suspectList({ suspects, verdict }: WhyDocument, words: Words, most = suspects.length): Markup {
  const rows = suspects.slice(0, most).map((suspect) => {
    const { layer, probability } = suspect;
    const width = Math.round(probability * 100);
    return markup`<li><span class="name">${sentenceOf(suspect, verdict)} <span class="tag">${words.layers[layer]}</span></span><span class="amount">${percent(probability)}</span><svg class="bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" focusable="false"><rect class="track" width="100" height="10"/><rect class="weight" width="${width}" height="10"/></svg></li>`;
  });
  return markup`<ul class="levels">${rows}</ul>`;
}

/** The verdict's own sentence names the job and the hours; that of the cause alone would say that they are not known. */
function sentenceOf({ layer, cause }: Suspect, verdict: WhyDocument['verdict']): string {
  const same = verdict.layer === layer && verdict.cause === cause;
  return same ? named(verdict.summary, 300) : causeSentence(layer, cause, null);
}
