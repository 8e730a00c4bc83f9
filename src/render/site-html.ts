import { createHash } from 'node:crypto';
import { LAYER_STATES } from '../model/layers.js';
import type { SnapshotDocument, SnapshotPrinter } from '../model/snapshot.js';
import type { WhyDocument } from '../model/why.js';
import { hedge, STATE_WORDS } from './layer-words.js';
import { type Markup, markup, trusted } from './markup.js';
import { SITE_CSS } from './site-css.js';
import { printerCard, standingWords } from './site-printer.js';
import { visitPart } from './site-visit.js';
import { atWords, count, named, rankOf, worstFirst } from './site-words.js';
import { ladderStrip, MARK_SYMBOLS, stripCell } from './svg.js';

/**
 * Nothing may be loaded or run: the one style sheet inside is allowed by its hash (CSP level 3, section 2.3.1), so text
 * that a printer supplied could not style or fetch anything even if it became markup.
 */
const STYLE_HASH = createHash('sha256').update(SITE_CSS).digest('base64');
const POLICY = `default-src 'none'; style-src 'sha256-${STYLE_HASH}'; base-uri 'none'; form-action 'none'`;

/** The whole site as one page that opens from disk and needs nothing else. Pure: the same snapshot gives the same page. */
export function renderSite(snapshot: SnapshotDocument): string {
  const printers = worstFirst(snapshot.printers);
  const page = markup`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${trusted(POLICY)}">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><meta name="referrer" content="no-referrer">
<title>${named(snapshot.site)}: printers, ${atWords(snapshot.madeAt)}</title>
<style>${trusted(SITE_CSS)}</style></head>
<body><a class="skip" href="#printers">Skip to the printers</a>${MARK_SYMBOLS}
${pageHead(snapshot)}
<main>
${glance(printers)}
${visitPart(snapshot)}
<section id="printers" aria-labelledby="printers-title"><h2 id="printers-title">Printer by printer</h2>${printers.map((entry, index) => printerCard(entry, anchor(index), snapshot))}</section>
</main>
<footer><p>Taken ${atWords(snapshot.madeAt)} by reading only: nothing was changed on any printer. The same in a form for programs is in site.json; each file in evidence/ can be judged again with <code>outfeed why --from FILE</code>.</p><p>Before opening a printer, read the cautions here and the maker’s service manual; leave mains, laser and fuser to qualified people.</p></footer>
</body></html>
`;
  return page.html;
}

function anchor(index: number): string {
  return `p${index + 1}`;
}

function pageHead(snapshot: SnapshotDocument): Markup {
  const ranks = snapshot.printers.map(rankOf);
  const number = (wanted: readonly string[]) => ranks.filter((rank) => wanted.includes(rank)).length;
  const silent = number(['silent']);
  const unclear = number(['unclear']);
  const well = number(['remark', 'well']);
  return markup`<header class="site"><h1><bdi>${named(snapshot.site)}</bdi></h1><p class="soft">${count(snapshot.printers.length, 'printer')}, as they stood at ${atWords(snapshot.madeAt)}</p>
<p class="tally"><span class="s-fault"><b>${silent}</b>silent</span><span class="s-unknown"><b>${unclear}</b>not known</span><span class="s-clear"><b>${well}</b>can print</span></p></header>`;
}

function glance(printers: readonly SnapshotPrinter[]): Markup {
  if (printers.length === 0) {
    return markup`<section aria-labelledby="glance-title"><h2 id="glance-title">At a glance</h2><p>No printer was found.</p></section>`;
  }
  const rows = printers.map(({ why }, index) => {
    const next = why.silent === false ? worthKnowing(why) : firstStep(why, anchor(index));
    return markup`<li>${ladderStrip(why.layers)}${standingWords(why)}<a class="who" href="#${anchor(index)}"><bdi>${named(why.target)}</bdi></a><div class="what"><p>${hedge(why)}${named(why.verdict.summary, 240)}</p>${next}</div></li>`;
  });
  const key = LAYER_STATES.map(
    (state) => markup`<span>${stripCell(state)} ${STATE_WORDS[state].toLowerCase()}</span> `,
  );
  return markup`<section aria-labelledby="glance-title"><h2 id="glance-title">At a glance, worst first</h2><p class="key">Thirteen layers each, from power to application: ${key}</p><ol class="glance sheet">${rows}</ol></section>`;
}

function firstStep(why: WhyDocument, card: string): Markup | null {
  const step = why.verdict.next[0];
  if (step === undefined) return null;
  return markup`<p class="go"><span class="num">${step.minutes} min:</span> ${named(step.step, 240)}${step.cautions.length > 0 && markup` <a href="#${card}">Care: read the cautions first</a>`}</p>`;
}

function worthKnowing(why: WhyDocument): Markup | null {
  if (why.warnings.length === 0) return null;
  return markup`<p class="go">Worth knowing: ${why.warnings.map((blame) => named(blame.summary, 160)).join(' ')}</p>`;
}
