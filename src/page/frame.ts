import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { MARK_SYMBOLS } from '../render/svg.js';
import type { Clock } from './clock.js';
import { CELL_SYMBOLS } from './shapes.js';
import type { Words } from './words.js';

/** What every page is shown with. */
export interface Frame {
  readonly words: Words;
  readonly clock: Clock;
  /** The site's name. */
  readonly site: string;
  /** Addresses of the style sheet and of the script. */
  readonly assets: { readonly style: string; readonly script: string };
  /** What every form that acts must bring along; empty where nothing asks for it. */
  readonly csrf: string;
  /** Where a person who signed in can sign out; absent where nobody has to sign in. */
  readonly signOut?: string;
}

export type Place = 'printers' | 'incidents' | 'supplies' | 'defects';

export interface Sheet {
  readonly title: string;
  /** Which of the main pages it belongs to. */
  readonly place: Place | null;
  readonly main: Markup;
  /** True: what is in elements with `data-live` is fetched again when something happens. */
  readonly live: boolean;
}

/** A whole page. */
export function page(sheet: Sheet, frame: Frame): string {
  const { words, assets } = frame;
  const { shell } = words;
  return markup`<!doctype html>
<html lang="${words.language}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">
<title>${named(sheet.title)} · ${named(frame.site)}</title>
<link rel="stylesheet" href="${assets.style}"><link rel="icon" href="data:,">
<script type="module" src="${assets.script}"></script></head>
<body${sheet.live ? markup` data-events="/api/v1/events"` : null}><a class="skip" href="#main">${shell.skip}</a>${MARK_SYMBOLS}${CELL_SYMBOLS}
${pageHead(sheet, frame)}
<main id="main" tabindex="-1">
${sheet.main}
</main>
${pageFoot(sheet, frame)}
</body></html>
`.html;
}

const PLACES: readonly (readonly [Place, string])[] = [
  ['printers', '/'],
  ['incidents', '/incidents'],
  ['supplies', '/supplies'],
  ['defects', '/defects'],
];

function pageHead({ place, live }: Sheet, frame: Frame): Markup {
  const { words, site, signOut, csrf } = frame;
  const links = PLACES.map(([one, href]) => {
    const here = one === place ? markup` aria-current="page"` : null;
    return markup`<li><a href="${href}"${here}>${words.shell[one]}</a></li>`;
  });
  const leave =
    signOut !== undefined &&
    markup`<li><form method="post" action="${signOut}">${csrfField(csrf)}<button class="plainly">${words.shell.leave}</button></form></li>`;
  return markup`<header class="site top"><p class="where-we-are"><bdi>${named(site, 60)}</bdi></p><nav aria-label="${words.shell.navigation}"><ul>${links}${leave}</ul></nav></header>${live && stateLine(frame)}`;
}

function pageFoot({ live }: Sheet, { words, clock }: Frame): Markup {
  const asOf = live ? null : markup`<p>${words.shell.asOf(clock.at(clock.now))}</p>`;
  return markup`<footer>${asOf}<p>${words.shell.readOnly}</p><p>${words.shell.care}</p></footer>`;
}

/** How old it is. Without a script the page stands still: the script says otherwise once it hears events. */
function stateLine({ words, clock }: Frame): Markup {
  const { shell } = words;
  return markup`<div class="site state soft small" role="complementary" aria-label="${shell.age}"><span id="as-of" data-live>${shell.asOf(clock.at(clock.now))}</span> <span id="live" data-live-words="${shell.live}" data-lost-words="${shell.lost}">${shell.still}</span><p id="news" class="unseen" role="status"></p></div>`;
}

export function csrfField(csrf: string): Markup | null {
  return csrf === '' ? null : markup`<input type="hidden" name="csrf" value="${csrf}">`;
}

/** A button that does something: a form of its own, so that it works without a script. */
export function actionButton(action: string, label: string, { csrf }: Frame, hint?: string): Markup {
  const small = hint === undefined ? null : markup`<small>${hint}</small>`;
  return markup`<form class="act" method="post" action="${action}">${csrfField(csrf)}<button>${label}${small}</button></form>`;
}
