import { markup } from '../render/markup.js';
import { type Frame, page } from './frame.js';

/** A page that says in a sentence what did not work, with a way on. */
export function troublePage(title: string, sentence: string, frame: Frame): string {
  const main = markup`<h1>${title}</h1><p>${sentence}</p><p><a class="button" href="/">${frame.words.trouble.home}</a></p>`;
  return page({ title, place: null, main, live: false }, frame);
}
