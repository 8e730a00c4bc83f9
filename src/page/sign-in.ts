import { markup } from '../render/markup.js';
import { smallPage } from './small.js';
import type { Words } from './words.js';

/** What the form that asks for the token is made of. */
export interface SignIn {
  readonly csrf: string;
  /** Where to go afterwards. */
  readonly next: string;
  /** What was wrong with the last try; null the first time. */
  readonly wrong: string | null;
}

/** Asks for the token. */
export function signInPage({ csrf, next, wrong }: SignIn, style: string, { language, signIn: words }: Words): string {
  const told =
    wrong !== null && markup`<p class="outcome" role="alert">${words.wrong} <span class="soft">${wrong}</span></p>`;
  return smallPage(
    { language, title: words.title, style },
    markup`<p>${words.says}</p>${told}
<form method="post" action="/sign-in"><input type="hidden" name="csrf" value="${csrf}"><input type="hidden" name="next" value="${next}">
<label for="token">${words.token}</label><div class="field"><input id="token" name="token" type="password" autocomplete="current-password" required autofocus><button>${words.enter}</button></div></form>`,
  );
}
