import type { WhyDocument } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import type { Frame } from './frame.js';
import { shape } from './shapes.js';
import { isFresh, type PrinterView, silentOf } from './view.js';
import type { Words } from './words.js';

/** "62 %"; what is hardly possible is told as under one. */
export function percent(probability: number): string {
  return probability < 0.01 ? '< 1 %' : `${Math.round(probability * 100)} %`;
}

/** The verdict in one sentence, so that a guess never reads like a fact. */
export function verdictSentence(why: WhyDocument, words: Words): string {
  return `${hedge(why, words)}${named(why.verdict.summary, 400)}`;
}

/** Below this a guess is one of many and is called so. */
const FAINT = 0.25;

function hedge({ verdict, suspects }: WhyDocument, words: Words): string {
  if (verdict.cause === 'nothing-wrong-found' || verdict.certainty === 'sure') return '';
  if (verdict.certainty === 'likely') return words.probably;
  const [top] = suspects;
  if (top === undefined || top.cause !== verdict.cause) return words.guess('');
  return top.probability < FAINT ? words.many(percent(top.probability)) : words.guess(percent(top.probability));
}

const STATE_OF = { true: 'fault', false: 'clear', null: 'unknown' } as const;

/** "since 08:10"; nothing for what was seen only once. */
export function sinceWords(view: PrinterView, { words, clock }: Frame): string {
  const since = view.known?.since ?? null;
  return since === null || isFresh(view) ? '' : words.overview.since(clock.at(since));
}

/** Whether it prints: a word with the shape that goes with it, never the colour alone. */
export function stands(view: PrinterView, { words: { stands: words } }: Frame): Markup {
  const silent = silentOf(view);
  const state = STATE_OF[`${silent}`];
  const word = silent === null ? words.unclear : silent ? words.silent : words.well;
  return markup`<span class="stands s-${state}">${shape(state)} ${word}</span>`;
}
