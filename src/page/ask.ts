import { CHECKS } from '../ladder/checks.js';
import type { WhyDocument } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { LADDER_CHECKS, withAnswers } from '../verdict/answers.js';
import { judge } from '../verdict/verdict.js';
import { readTold, type Told } from './answer-query.js';
import { actionButton, type Frame, page } from './frame.js';
import { answeredList, type Form, questionCard } from './question.js';
import { stepList } from './steps.js';
import { suspectList } from './suspects.js';
import { verdictSentence } from './verdict-words.js';
import { type PrinterView, printerHref } from './view.js';

const ASKED: ReadonlyMap<string, string> = new Map(CHECKS.map(({ id, ask }) => [id, ask]));

/** On a telephone the next button matters more than what is hardly possible. */
const MOST_SUSPECTS = 3;

/** Asks the person beside the printer, one question at a time, until the answers name a cause. */
export function askPage(view: PrinterView, query: URLSearchParams, frame: Frame): string {
  const { words } = frame;
  const told = readTold(query, LADDER_CHECKS);
  const form: Form = { path: `${printerHref(view.name)}/ask`, fields: [] };
  const why = judged(view, told, frame);
  const title = why?.silent === false ? words.ask.wellTitle(view.name) : words.ask.title(view.name);
  const inside =
    why === null
      ? markup`<p>${words.printer.unread}</p>${actionButton(`${printerHref(view.name)}/ask`, words.printer.askNow, frame)}`
      : markup`${told.strange && markup`<p class="outcome">${words.ask.badAnswer}</p>`}${flow(why, told, form, frame)}${answeredList(told, ASKED, form, words)}${endOf(view, why, frame)}`;
  const main = markup`<p class="back"><a href="${printerHref(view.name)}"><bdi>${named(view.name, 80)}</bdi></a></p><h1>${named(title, 120)}</h1>${inside}`;
  return page({ title, place: 'printers', main, live: false }, frame);
}

/** The newest look at the printer, judged with what the person said. */
function judged({ why, bundle }: PrinterView, { answers }: Told, { clock }: Frame): WhyDocument | null {
  if (bundle === null || answers.length === 0) return why;
  return judge(withAnswers(bundle, answers, new Date(clock.now).toISOString()));
}

function flow(why: WhyDocument, told: Told, form: Form, frame: Frame): Markup {
  const { words } = frame;
  if (why.silent === false) return markup`<p>${words.ask.well}</p>${stepList(why.verdict.next, words)}`;
  const question = questionCard(why.checks, told, form, words);
  if (why.silent === true && why.verdict.certainty === 'sure') {
    return markup`${answer(why, words.ask.verdict, frame)}<p class="soft">${words.ask.certain}</p>`;
  }
  // An answer that came out of the person's own words is worth trying before more is asked.
  if (question !== null && why.verdict.certainty === 'possible') return markup`${question}${guess(why, frame)}`;
  const more =
    question === null
      ? markup`<p class="soft">${words.ask.nothingLeft}</p>`
      : markup`<h2>${words.ask.surer}</h2>${question}`;
  return markup`${answer(why, words.ask.verdict, frame)}${more}`;
}

/** The verdict with its steps. */
function answer(why: WhyDocument, title: string, { words }: Frame): Markup {
  return markup`<section class="answer sheet" aria-labelledby="verdict"><h2 id="verdict">${title}</h2><p class="verdict">${verdictSentence(why, words)}</p><p class="soft small">${words.certainty[why.verdict.certainty]}</p>${stepList(why.verdict.next, words)}${why.suspects.length > 1 && suspectList(why, words, MOST_SUSPECTS)}</section>`;
}

function guess(why: WhyDocument, { words }: Frame): Markup {
  const steps = stepList(why.verdict.next, words);
  return markup`<section class="part" aria-labelledby="guess"><h2 id="guess">${words.ask.soFar}</h2><p>${verdictSentence(why, words)}</p>${suspectList(why, words, MOST_SUSPECTS)}${steps !== null && markup`<details id="steps"><summary>${words.printer.next}</summary>${steps}</details>`}</section>`;
}

/** Once something was tried, the printer is looked at again: the answers would be of yesterday. */
function endOf({ name }: PrinterView, why: WhyDocument, frame: Frame): Markup {
  const { words } = frame;
  const decided = why.verdict.certainty !== 'possible';
  const said = why.silent === false ? null : markup`<p>${decided ? words.ask.helped : words.ask.changed}</p>`;
  const href = `${printerHref(name)}/ask`;
  return markup`<div class="acts end">${said}${actionButton(href, words.printer.askNow, frame, words.printer.readHint)}<p class="act"><a class="button" href="/defects?printer=${encodeURIComponent(name)}">${words.printer.badPages}</a></p></div>`;
}
