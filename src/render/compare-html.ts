import { createHash } from 'node:crypto';
import type { CompareDocument } from '../model/compare.js';
import { COMPARE_CSS } from './compare-css.js';
import { type ChangeRow, type ChangeSection, changeSections, type Tone } from './compare-words.js';
import { type Markup, markup, trusted } from './markup.js';
import { atWords, count, named } from './site-words.js';

/** Nothing may be loaded or run; the one style sheet inside is allowed by its hash (CSP level 3, section 2.3.1). */
const STYLE_HASH = createHash('sha256').update(COMPARE_CSS).digest('base64');
const POLICY = `default-src 'none'; style-src 'sha256-${STYLE_HASH}'; base-uri 'none'; form-action 'none'`;

/** Two snapshots side by side as one page that opens from disk and needs nothing else. Pure. */
export function renderComparePage(document: CompareDocument): string {
  const { old, new: now } = document;
  const sections = changeSections(document);
  const page = markup`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${trusted(POLICY)}">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><meta name="referrer" content="no-referrer">
<title>${named(now.site)}: what changed by ${atWords(now.madeAt)}</title>
<style>${trusted(COMPARE_CSS)}</style></head>
<body><header><h1><bdi>${named(now.site)}</bdi>: what changed</h1>${dates(document)}${tally(document)}</header>
<main>
${old.site === now.site ? null : markup`<p class="none bad">These are two different sites: <bdi>${named(old.site)}</bdi> before, <bdi>${named(now.site)}</bdi> now.</p>`}
${sections.length === 0 ? markup`<p class="none">Nothing differs, and nothing is wrong.</p>` : sections.map(part)}
</main>
<footer><p>Made from two snapshots by reading only. “Fixed” is said of a fault that the new snapshot shows to be over; of a printer that did not answer nothing is said.</p></footer>
</body></html>
`;
  return page.html;
}

function dates({ old, new: now, days }: CompareDocument): Markup {
  const later = days >= 1 ? `, ${count(Math.floor(days), 'day')} later` : '';
  return markup`<p class="soft">${atWords(old.madeAt)} (${count(old.printers, 'printer')}) and ${atWords(now.madeAt)} (${count(now.printers, 'printer')})${later}</p>`;
}

function tally({ fixed, broken, still, unclear }: CompareDocument): Markup {
  const numbers: readonly (readonly [number, string, Tone])[] = [
    [broken.length, 'broken since', 'bad'],
    [still.length, 'still not right', 'bad'],
    [fixed.length, 'fixed', 'good'],
    [unclear.length, 'can not be told', 'open'],
  ];
  return markup`<ul class="tally">${numbers.map(([number, words, tone]) => markup`<li class="${tone}"><b>${number}</b>${words}</li>`)}</ul>`;
}

function part({ title, tone, rows }: ChangeSection, index: number): Markup {
  return markup`<section class="${tone}" aria-labelledby="s${index}"><h2 id="s${index}">${title}</h2><ul class="rows">${rows.map(row)}</ul></section>`;
}

function row({ printer, says, where }: ChangeRow): Markup {
  const what =
    says === ''
      ? null
      : markup`<div><p>${named(says, 400)}</p>${where !== undefined && markup`<p class="where">${named(where, 160)}</p>`}</div>`;
  return markup`<li><span class="who"><bdi>${named(printer)}</bdi></span>${what}</li>`;
}
