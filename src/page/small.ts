import { type Markup, markup } from '../render/markup.js';

/** What a page without the site's frame is shown with: it may be shown to anybody, so it names neither the site nor a printer. */
export interface SmallPage {
  readonly language: string;
  readonly title: string;
  /** Address of the style sheet. */
  readonly style: string;
}

export function smallPage({ language, title, style }: SmallPage, inside: Markup): string {
  return markup`<!doctype html>
<html lang="${language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>${title}</title><link rel="stylesheet" href="${style}"><link rel="icon" href="data:,"></head>
<body><main class="sign-in"><h1>${title}</h1>${inside}</main></body></html>
`.html;
}
