import { createHash } from 'node:crypto';
import { technologyWords } from '../defects/defect.js';
import type { DefectCause, DefectCheck, DefectDocument, RepeatSeries, SymptomWord } from '../model/defect.js';
import { DEFECT_CSS } from './defect-css.js';
import { defectSketch } from './defect-sketches.js';
import { candidateSize, costWords, hedgeOf, percentWords, seriesInWords, symptomsInWords } from './defect-words.js';
import { type Markup, markup, trusted } from './markup.js';
import { named } from './site-words.js';

/** Nothing may be loaded or run; the one style sheet inside is allowed by its hash (CSP level 3, section 2.3.1). */
const STYLE_HASH = createHash('sha256').update(DEFECT_CSS).digest('base64');
const POLICY = `default-src 'none'; style-src 'sha256-${STYLE_HASH}'; base-uri 'none'; form-action 'none'`;

/** One page about bad pages, with a drawing for each symptom; it opens from disk and needs nothing else. Pure. */
export function renderDefectPage(doc: DefectDocument): string {
  const title = doc.symptoms.length === 0 ? 'What is wrong with the pages?' : capital(symptomsInWords(doc));
  const careSaid = new Set<string>();
  const page = markup`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${trusted(POLICY)}">
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${trusted(DEFECT_CSS)}</style></head>
<body><header><h1>${title}</h1>${headline(doc)}</header>
<main>
${doc.symptoms.length === 0 ? wordList(doc.words) : seen(doc.symptoms)}
${steps(doc.ranked[0], careSaid)}
${marks(doc)}
${said('How the print lies', doc.geometry?.says ?? [])}
${paperPart(doc)}
${causes(doc.ranked)}
${checks(doc.checks, careSaid)}
${said('What was told and read', doc.signs)}
${said('Note', doc.notes)}
</main>
<footer><p>Before opening a printer, read the cautions here and the maker’s service manual; leave mains, laser and fuser to qualified people.</p></footer>
</body></html>
`;
  return page.html;
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

function headline(doc: DefectDocument): Markup | null {
  const [first] = doc.ranked;
  if (doc.symptoms.length === 0) return null;
  const whose = doc.target === null ? capital(technologyWords(doc.technology)) : doc.target;
  if (first === undefined)
    return markup`<p class="soft"><bdi>${named(whose)}</bdi></p><p class="verdict">Nothing in the tables does that.</p>`;
  return markup`<p class="soft"><bdi>${named(whose)}</bdi></p><p class="verdict">${hedgeOf(first)} the <bdi>${named(first.part)}</bdi> (${percentWords(first.probability)}): ${first.summary}</p>`;
}

function sketchItem(word: string, says: Markup | null): Markup {
  return markup`<li>${defectSketch(word)}<h3>${word.replaceAll('-', ' ')}</h3>${says}</li>`;
}

function seen(symptoms: readonly string[]): Markup {
  return markup`<h2>What was seen</h2><ul class="sketches">${symptoms.map((word) => sketchItem(word, null))}</ul>`;
}

function wordList(words: readonly SymptomWord[]): Markup {
  const items = words.map(({ word, says }) =>
    sketchItem(word, markup`<p class="why">${says}</p><p><code>--symptom ${word}</code></p>`),
  );
  return markup`<h2>Find the picture that is like it</h2><ul class="sketches">${items}</ul>`;
}

/** Cautions that were not said before: said at every step they are read at none. */
function care(cautions: readonly string[], said: Set<string>): readonly Markup[] {
  const fresh = cautions.filter((caution) => !said.has(caution));
  for (const caution of fresh) said.add(caution);
  return fresh.map((caution) => markup`<p class="care"><b>Care:</b> ${caution}</p>`);
}

function steps(cause: DefectCause | undefined, said: Set<string>): Markup | null {
  if (cause === undefined) return null;
  const items = cause.next.map(
    ({ step, minutes, cautions }) =>
      markup`<li class="row"><span class="num">${minutes} min</span><div>${named(step, 400)}${care(cautions, said)}</div></li>`,
  );
  return markup`<h2>What to do</h2><ol class="box">${items}</ol>`;
}

function marks({ repeat }: DefectDocument): Markup | null {
  if (repeat === null) return null;
  const strays = repeat.straysMm.map((mm) => mm.toFixed(1)).join(', ');
  return markup`<h2>The marks</h2>${series(repeat)}${repeat.second && series(repeat.second)}${strays !== '' && markup`<p class="soft">Belonging to none: ${strays} mm</p>`}`;
}

function series(one: RepeatSeries): Markup {
  const rows = one.candidates.slice(0, 6).map((candidate) => {
    const { part, probability } = candidate;
    return markup`<div class="row"><span class="num">${percentWords(probability)}</span><span><bdi>${named(part)}</bdi>, ${candidateSize(candidate)}</span></div>`;
  });
  return markup`<div class="box"><div><p>They return ${seriesInWords(one)}.</p><p class="why">${named(one.because, 500)}</p></div>${rows}</div>`;
}

function paperPart({ paper }: DefectDocument): Markup | null {
  if (paper === null) return null;
  const pounds = Object.entries(paper.pounds).map(([grade, lb]) => `${lb} lb ${grade}`);
  return markup`<h2>Paper</h2><div class="box"><p>${paper.gsm} g/m² is ${pounds.join(', ')}.</p>${paper.advice.map((one) => markup`<p class="why">${one}</p>`)}</div>`;
}

function causes(ranked: readonly DefectCause[]): Markup | null {
  if (ranked.length === 0) return null;
  const items = ranked.map(
    ({ part, probability, summary, because, source }) =>
      markup`<li class="row"><span class="num">${percentWords(probability)}</span><div><b><bdi>${named(part)}</bdi></b>: ${summary}${because.map((one) => markup`<p class="why">${named(one, 400)}</p>`)}<p class="why">Source of the rule: ${named(source, 400)}</p></div></li>`,
  );
  return markup`<h2>What it may be</h2><ul class="box">${items}</ul>`;
}

function checks(all: readonly DefectCheck[], said: Set<string>): Markup | null {
  if (all.length === 0) return null;
  const items = all.map(
    (check) =>
      markup`<li class="row"><span class="num">${check.minutes} min</span><div>${check.ask} <span class="soft">${costWords(check)}</span>${care(check.cautions, said)}<p class="why"><code>--answer ${check.id}=${check.outcomes.join('|')}</code></p></div></li>`,
  );
  return markup`<h2>What would tell, best first</h2><ol class="box">${items}</ol>`;
}

function said(title: string, says: readonly string[]): Markup | null {
  if (says.length === 0) return null;
  return markup`<h2>${title}</h2><ul class="box">${says.map((one) => markup`<li>${named(one, 500)}</li>`)}</ul>`;
}
