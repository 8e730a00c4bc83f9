import { markup } from '../render/markup.js';
import type { Words } from './words.js';

/** What the form that asks for the token is made of. */
export interface SignIn {
  readonly csrf: string;
  /** Where to go afterwards. */
  readonly next: string;
  /** What was wrong with the last try; null the first time. */
  readonly wrong: string | null;
}

/** Asks for the token. It is shown to anybody, so it names neither the site nor a printer. */
export function signInPage({ csrf, next, wrong }: SignIn, style: string, { language, signIn: words }: Words): string {
  const told =
    wrong !== null && markup`<p class="outcome" role="alert">${words.wrong} <span class="soft">${wrong}</span></p>`;
  return markup`<!doctype html>
<html lang="${language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>${words.title}</title><link rel="stylesheet" href="${style}"><link rel="icon" href="data:,"></head>
<body><main class="sign-in"><h1>${words.title}</h1><p>${words.says}</p>${told}
<form method="post" action="/sign-in"><input type="hidden" name="csrf" value="${csrf}"><input type="hidden" name="next" value="${next}">
<label for="token">${words.token}</label><div class="field"><input id="token" name="token" type="password" autocomplete="current-password" required autofocus><button>${words.enter}</button></div></form></main></body></html>
`.html;
}
