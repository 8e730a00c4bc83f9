import type { Forecast } from '../model/supplies.js';
import type { Blame } from '../model/why.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { actionButton, type Frame, page } from './frame.js';
import { ladder } from './ladder.js';
import { alertsPart, coversPart, suppliesPart, traysPart } from './levels.js';
import { type PrinterPast, pastPart } from './past.js';
import { queuePart } from './queues.js';
import { stepList } from './steps.js';
import { suspectList } from './suspects.js';
import { sinceWords, stands, verdictSentence } from './verdict-words.js';
import { isFresh, type PrinterView, printerHref } from './view.js';
import type { Words } from './words.js';

export interface PrinterModel {
  readonly view: PrinterView;
  /** Null: the memory can't be read. */
  readonly past: PrinterPast | null;
  readonly forecasts: readonly Forecast[];
}

/** One printer: the verdict, what to do, the ladder with its evidence, and all that it tells. */
export function printerPage(model: PrinterModel, frame: Frame): string {
  const { view, past, forecasts } = model;
  const { why, document } = view;
  const { words } = frame;
  const main = markup`<p class="back"><a href="/">${words.shell.back}</a></p>
${head(view, frame)}
<div class="acts">${actionButton(`${printerHref(view.name)}/ask`, words.printer.askNow, frame, words.printer.readHint)}${actionButton(`${printerHref(view.name)}/read`, words.printer.readNow, frame)}<p class="act"><a class="button" href="/defects?printer=${encodeURIComponent(view.name)}">${words.printer.badPages}</a></p></div>
<div class="cols">
${why !== null && markup`<section class="part" id="ladder" data-live><h2>${words.printer.ladder}</h2>${ladder(why, words)}</section>`}
<div class="parts">${document !== null && markup`${suppliesPart(document.supplies, forecasts, frame)}${traysPart(document, frame)}${coversPart(document.covers, frame)}${alertsPart(document.alerts, frame)}`}${queuePart(view, frame)}${particulars(model, frame)}${pastPart(past, frame)}</div>
</div>`;
  return page({ title: view.name, place: 'printers', main, live: true }, frame);
}

function head(view: PrinterView, frame: Frame): Markup {
  const { words, clock } = frame;
  const { why, known, name } = view;
  const fresh = isFresh(view) && markup`<p class="soft">${words.overview.fresh}</p>`;
  return markup`<article class="answer sheet" id="answer" data-live aria-labelledby="name"><div class="top"><h1 id="name"><bdi>${named(name)}</bdi></h1><p>${stands(view, frame)} <span class="soft">${sinceWords(view, frame)}</span></p></div>
${about(view)}
${why === null ? markup`<p class="verdict">${known === null ? null : named(known.summary, 400)} ${words.printer.unread}</p>` : markup`<p class="verdict">${verdictSentence(why, words)}</p><p class="soft small">${why.verdict.cause === 'nothing-wrong-found' ? null : where(view, words)}${words.certainty[why.verdict.certainty]} ${words.printer.asked(clock.at(why.askedAt))}. ${answered(view, frame)}</p>`}${fresh}
${nextPart(view, words)}</article>`;
}

/** Model, place and address: which one of them all it is. */
function about({ why, document, address }: PrinterView): Markup {
  const { identity } = document ?? {};
  const known = [identity?.model ?? why?.printer.model, identity?.location, why?.printer.address ?? address];
  const parts = known.flatMap((part) => (part === null || part === undefined || part === '' ? [] : [part]));
  return markup`<p class="soft">${parts.map((text, at) => markup`${at === 0 ? '' : ' · '}<bdi>${named(text)}</bdi>`)}</p>`;
}

function where({ why }: PrinterView, { layers }: Words): string {
  if (why === null) return '';
  const { layer, component } = why.verdict;
  return `${layers[layer]}${component === undefined ? '' : `, ${named(component, 60)}`}. `;
}

function answered({ lastAnswerAt, why }: PrinterView, { words, clock }: Frame): string {
  if (why?.silent === false) return '';
  return lastAnswerAt === null ? words.printer.neverAnswered : words.printer.lastAnswer(clock.at(lastAnswerAt));
}

/** The way to the answer comes first where there is none yet; steps after it. */
function nextPart({ why, name }: PrinterView, words: Words): Markup | null {
  if (why === null) return null;
  const { printer } = words;
  const open = why.checks.length > 0;
  const ask =
    open &&
    markup`<div class="lead"><p>${printer.askWhy}</p><a class="button strong" href="${printerHref(name)}/ask">${printer.ask}</a></div>`;
  const steps = stepList(why.verdict.next, words);
  // The steps of a mere guess wait until somebody wants them.
  const list =
    steps === null || why.silent === false
      ? steps
      : open && why.silent === null
        ? markup`<details id="if-so"><summary>${printer.ifSo}</summary>${steps}</details>`
        : markup`<h2>${printer.next}</h2>${steps}`;
  return markup`${ask}${why.silent === false && !open ? null : list}${blames(printer.others, why.others, words)}${blames(printer.warnings, why.warnings, words)}${why.suspects.length > 0 && markup`<h2>${printer.suspects}</h2>${suspectList(why, words)}`}`;
}

function blames(title: string, all: readonly Blame[], { layers }: Words): Markup | null {
  if (all.length === 0) return null;
  const items = all.map(
    ({ summary, layer, cause }) =>
      markup`<li>${named(summary, 400)} <span class="tag">${layers[layer]}: <code>${named(cause, 60)}</code></span></li>`,
  );
  return markup`<h2>${title}</h2><ul class="plain">${items}</ul>`;
}

function particulars({ view, past }: PrinterModel, frame: Frame): Markup {
  const { words, clock } = frame;
  const { facts } = words.printer;
  const { document, why, address } = view;
  const identity = document?.identity;
  const number = new Intl.NumberFormat(words.locale);
  const count = (value: number | null | undefined): string | null => (value == null ? null : number.format(value));
  const pairs: readonly (readonly [string, string | null | undefined])[] = [
    [facts.pages, count(document?.counters.lifePages)],
    [facts.sinceOn, count(document?.counters.powerOnPages)],
    [facts.display, document?.console.map((line) => named(line, 80)).join(' / ')],
    [facts.says, document?.state.reasons.slice(0, 8).join(', ')],
    [facts.model, identity?.model ?? why?.printer.model],
    [facts.serial, identity?.serial ?? why?.printer.serial],
    [facts.address, why?.printer.address ?? address],
    [facts.location, identity?.location],
    [facts.contact, identity?.contact],
    [facts.firmware, identity?.firmware],
    [facts.watchedSince, past?.firstSeen == null ? null : clock.at(past.firstSeen)],
    [facts.readAt, document === null ? null : clock.at(document.readAt)],
  ];
  const list = pairs.flatMap(([term, text]) =>
    text == null || text === '' ? [] : [markup`<dt>${term}</dt><dd><bdi>${named(text, 240)}</bdi></dd>`],
  );
  return markup`<section class="part" id="facts" data-live><h2>${words.printer.particulars}</h2><dl class="facts">${list}</dl></section>`;
}
