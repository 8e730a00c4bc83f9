import { markup } from '../render/markup.js';
import { smallPage } from './small.js';
import type { Words } from './words.js';

/** Why a request came to nothing. */
export interface Refused {
  /** HTTP status. */
  readonly status: number;
  readonly sentence: string;
}

/** What a browser gets where a program gets problem details: the sentence, and a way on. */
export function refusedPage(
  { status, sentence }: Refused,
  style: string,
  { language, trouble, signIn }: Words,
): string {
  const title = trouble.titles[status] ?? trouble.title;
  const way = status === 401 ? ['/sign-in', signIn.title] : ['/', trouble.home];
  return smallPage(
    { language, title, style },
    markup`<p>${sentence}</p><p><a class="button" href="${way[0]}">${way[1]}</a></p>`,
  );
}
