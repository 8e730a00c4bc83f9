import { markup } from './markup.js';

/** The page that asks for the token. Pure; it works unstyled and without a script. `wrong` is what was wrong with the last try. */
export function renderSignIn({
  csrf,
  next,
  wrong,
}: {
  readonly csrf: string;
  readonly next: string;
  readonly wrong: string | null;
}): string {
  return markup`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>Sign in</title></head>
<body><main><h1>Sign in</h1>
<p>This page shows the printers of a site to those who have its token.</p>
${wrong !== null && markup`<p role="alert"><strong>${wrong}</strong></p>`}
<form method="post" action="/sign-in">
<input type="hidden" name="csrf" value="${csrf}"><input type="hidden" name="next" value="${next}">
<p><label for="token">Token</label><br><input id="token" name="token" type="password" autocomplete="current-password" required autofocus></p>
<p><button type="submit">Sign in</button></p>
</form></main></body></html>
`.html;
}
