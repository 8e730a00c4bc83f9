import { symptomWords } from '../defects/symptoms.js';
import type { DefectCause, DefectDocument, SymptomWord } from '../model/defect.js';
import { CHECKS } from '../registry/trade.generated.js';
import { defectSketch } from '../render/defect-sketches.js';
import { seriesInWords } from '../render/defect-words.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { toldHref } from './answer-query.js';
import { type DefectTold, defectDocument, defectFields, readDefectTold, TECHNOLOGIES } from './defect-query.js';
import { type Frame, page } from './frame.js';
import { answeredList, type Form, questionCard } from './question.js';
import { stepList } from './steps.js';
import { percent } from './verdict-words.js';
import type { PrinterView } from './view.js';
import type { Words } from './words.js';

const ASKED: ReadonlyMap<string, string> = new Map(CHECKS.map(({ id, ask }) => [id, ask]));
const PATH = '/defects';
/** Once one cause has this much of the belief it stands first, before the next question. */
const SURE = 0.75;

export interface DefectModel {
  readonly query: URLSearchParams;
  /** The printer that the pages come from, where one was chosen. */
  readonly view: PrinterView | null;
  /** Names of all printers. */
  readonly printers: readonly string[];
}

/** Bad pages: choose the picture that is like the page, answer what tells causes apart, read what to do. */
export function defectsPage(model: DefectModel, frame: Frame): string {
  const { view, query } = model;
  const told = readDefectTold(query);
  const document = defectDocument(told, view);
  const { defects: words } = frame.words;
  const inside =
    document.symptoms.length === 0 ? chooser(told, document, model, frame) : triage(told, document, view, frame);
  const of = view !== null && markup`<p class="soft"><bdi>${named(view.name, 80)}</bdi></p>`;
  const main = markup`<h1>${words.title}</h1>${of}${inside}`;
  return page({ title: words.title, place: 'defects', main, live: false }, frame);
}

function chooser(told: DefectTold, document: DefectDocument, { view, printers }: DefectModel, frame: Frame): Markup {
  const { defects: words } = frame.words;
  return markup`${about(told, view, printers, frame.words)}<h2>${words.which}</h2><p class="soft">${words.hint}</p>${pictures(document.words, told, view)}`;
}

/** Which printer, of which kind: what is known of it narrows the pictures down. */
function about(
  { technology }: DefectTold,
  view: PrinterView | null,
  printers: readonly string[],
  words: Words,
): Markup {
  const { defects } = words;
  const chosen = (yes: boolean) => yes && markup` selected`;
  const names = printers.map(
    (name) => markup`<option value="${name}"${chosen(name === view?.name)}>${named(name, 60)}</option>`,
  );
  const kinds = TECHNOLOGIES.map(
    (one) => markup`<option value="${one}"${chosen(one === technology)}>${defects.technologies[one]}</option>`,
  );
  return markup`<form class="about" action="${PATH}"><label>${defects.whichPrinter} <select name="printer"><option value="">${defects.noPrinter}</option>${names}</select></label> <label>${defects.technology} <select name="technology"><option value="">${defects.anyTechnology}</option>${kinds}</select></label> <button class="plainly">${defects.use}</button></form>`;
}

/** Every symptom as a picture to press. */
function pictures(symptoms: readonly SymptomWord[], told: DefectTold, view: PrinterView | null): Markup {
  const fields = defectFields(told, view?.name ?? null);
  const seen = new Set(told.symptoms.map(({ word }) => word));
  const items = symptoms
    .filter(({ word }) => !seen.has(word))
    .map(
      ({ word, says }) =>
        markup`<li><a class="picture" href="${toldHref(PATH, [...fields, ['symptom', word]])}">${defectSketch(word)}<b>${capital(word)}</b><small>${says}</small></a></li>`,
    );
  return markup`<ul class="pictures">${items}</ul>`;
}

function capital(word: string): string {
  const plain = word.replaceAll('-', ' ');
  return `${plain.charAt(0).toUpperCase()}${plain.slice(1)}`;
}

function triage(told: DefectTold, document: DefectDocument, view: PrinterView | null, frame: Frame): Markup {
  const { words } = frame;
  const fields = defectFields(told, view?.name ?? null);
  const form: Form = { path: PATH, fields };
  const [first] = document.ranked;
  const question = questionCard(document.checks, told, form, words);
  const found = first === undefined ? markup`<p>${words.defects.nothing}</p>` : causeCard(first, words);
  const sure = (first?.probability ?? 0) >= SURE || question === null;
  return markup`${seenPart(told, document, view, words)}${sure ? markup`${found}${question}` : markup`${question}${found}`}${marksPart(told, document, view, words)}${answeredList(told, ASKED, form, words)}${causes(document.ranked, words)}${said(words.defects.signs, document.signs)}${said(words.defects.notes, document.notes)}${morePictures(told, document, view, frame)}`;
}

/** What was chosen, each with a way to take it away. */
function seenPart(told: DefectTold, { symptoms }: DefectDocument, view: PrinterView | null, words: Words): Markup {
  const items = symptoms.map((word) => {
    const left = told.symptoms.filter((one) => one.word !== word);
    const away = toldHref(PATH, defectFields({ ...told, symptoms: left, marks: '' }, view?.name ?? null));
    return markup`<li>${defectSketch(word)}<span><b>${capital(word)}</b><br><a href="${away}">${words.defects.takeAway}</a></span></li>`;
  });
  return markup`<section aria-labelledby="seen"><h2 id="seen">${words.defects.seen}</h2><ul class="seen">${items}</ul></section>`;
}

function causeCard(cause: DefectCause, words: Words): Markup {
  const { defects } = words;
  const sentence = defects.cause(hedgeOf(cause, words), named(cause.part, 80), percent(cause.probability));
  return markup`<section class="answer sheet" aria-labelledby="cause"><h2 id="cause">${sentence}</h2><p class="verdict">${named(cause.summary, 300)}</p><h3>${defects.steps}</h3>${stepList(cause.next, words)}</section>`;
}

function hedgeOf({ probability }: DefectCause, { defects: { hedges } }: Words): string {
  if (probability >= 0.85) return hedges.sure;
  return probability >= 0.5 ? hedges.likely : hedges.perhaps;
}

function causes(ranked: readonly DefectCause[], words: Words): Markup | null {
  if (ranked.length === 0) return null;
  const items = ranked.map(
    ({ part, probability, summary, because, source }) =>
      markup`<li><b><bdi>${named(part, 80)}</bdi></b> <span class="num">${percent(probability)}</span>: ${named(summary, 300)}<span class="note">${because.map((one) => `${named(one, 300)} `).join('')}${words.defects.source(named(source, 300))}</span></li>`,
  );
  return markup`<section aria-labelledby="causes"><h2 id="causes">${words.defects.causes}</h2><ol class="plain ruled">${items}</ol></section>`;
}

const MEASURED: ReadonlySet<string> = new Set(['repeating-marks', 'ghost', 'line-across', 'spots', 'voids']);

/** Marks that return: a person with a ruler can name the part. */
function marksPart(told: DefectTold, document: DefectDocument, view: PrinterView | null, words: Words): Markup | null {
  if (!document.symptoms.some((word) => MEASURED.has(word))) return null;
  const { defects } = words;
  const hidden = defectFields({ ...told, marks: '' }, view?.name ?? null).map(
    ([name, value]) => markup`<input type="hidden" name="${name}" value="${value}">`,
  );
  const wrong = told.marks !== '' && told.marksMm === null;
  const bad = wrong && markup`<p class="outcome" role="alert">${defects.marksBad}</p>`;
  const { repeat } = document;
  const found =
    repeat !== null &&
    markup`<p>${capital(seriesInWords(repeat))}. ${named(repeat.because, 500)}</p><ul class="plain">${repeat.candidates.slice(0, 6).map(({ part, probability }) => markup`<li><bdi>${named(part, 80)}</bdi> <span class="num">${percent(probability)}</span></li>`)}</ul>`;
  return markup`<form class="marks" action="${PATH}">${hidden}<label for="marks">${defects.marks} <small>${defects.marksHint}</small></label><div class="field"><input id="marks" name="marks" inputmode="text" value="${told.marks}" maxlength="600" autocomplete="off"><button>${defects.measure}</button></div>${bad}${found}</form>`;
}

function said(title: string, says: readonly string[]): Markup | null {
  if (says.length === 0) return null;
  return markup`<section><h2>${title}</h2><ul class="plain">${says.map((one) => markup`<li>${named(one, 500)}</li>`)}</ul></section>`;
}

function morePictures(
  told: DefectTold,
  { technology }: DefectDocument,
  view: PrinterView | null,
  frame: Frame,
): Markup {
  const { defects } = frame.words;
  return markup`<details id="more"><summary>${defects.add}</summary>${pictures(symptomWords(technology), told, view)}</details><p><a href="${toldHref(PATH, view === null ? [] : [['printer', view.name]])}">${defects.again}</a></p>`;
}
