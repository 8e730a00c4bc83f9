import { LAYER_STATES, LAYERS } from '../model/layers.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { actionButton, type Frame, page } from './frame.js';
import { type ListPart, type ListQuery, listHref, listPart } from './overview-query.js';
import { shape } from './shapes.js';
import { Strips } from './strip.js';
import { sinceWords, stands, verdictSentence } from './verdict-words.js';
import { ALL_RANKS, isFresh, type PrinterView, printerHref, type Rank, rankOf } from './view.js';
import type { Words } from './words.js';

/** What the agent does beside reading printers. */
export interface SweepState {
  readonly running: boolean;
  /** Milliseconds since 1970; null: never. */
  readonly lastAt: number | null;
}

export interface OverviewModel {
  readonly printers: readonly PrinterView[];
  readonly query: ListQuery;
  readonly sweep: SweepState;
}

/** All printers, worst first, each with its thirteen marks, the reason and the next step. */
export function overviewPage(model: OverviewModel, frame: Frame): string {
  const { words } = frame;
  const part = listPart(model.printers, model.query);
  const strips = new Strips(words);
  const groups = ALL_RANKS.flatMap((rank) => group(rank, part, strips, frame) ?? []);
  const main = markup`${headline(model, frame)}
${finder(model.query, part, frame)}
<div id="list" data-live>${groups}${strips.symbols()}${pager(model.query, part, frame)}</div>
${key(frame)}
${actions(model.sweep, frame)}`;
  return page({ title: words.overview.title, place: 'printers', main, live: true }, frame);
}

function headline({ printers, query }: OverviewModel, { words }: Frame): Markup {
  const { overview } = words;
  const count = new Map<Rank, number>(ALL_RANKS.map((rank) => [rank, 0]));
  for (const view of printers) count.set(rankOf(view), (count.get(rankOf(view)) ?? 0) + 1);
  const silent = count.get('silent') ?? 0;
  const unclear = count.get('unclear') ?? 0;
  const first =
    printers.length === 0
      ? overview.none
      : silent === 0
        ? overview.noneSilent(printers.length)
        : overview.silent(silent, printers.length);
  const second = unclear === 0 ? null : markup` <span class="soft">${overview.unknown(unclear)}</span>`;
  const choices = (['all', ...ALL_RANKS] as const).map((show) => {
    const here = show === query.show ? markup` aria-current="true"` : null;
    const number = show === 'all' ? printers.length : (count.get(show) ?? 0);
    return markup`<li><a href="${listHref(query, { show })}"${here}>${RANK_SHAPE[show]}<b>${number}</b> ${overview.choices[show]}</a></li>`;
  });
  return markup`<div id="headline" data-live><h1>${first}${second}</h1><nav aria-label="${overview.show}"><ul class="choices">${choices}</ul></nav></div>`;
}

const RANK_SHAPE: Readonly<Record<Rank | 'all', Markup | null>> = {
  all: null,
  silent: shape('fault'),
  unclear: shape('unknown'),
  remark: shape('warning'),
  well: shape('clear'),
};

function finder(query: ListQuery, { found }: ListPart, { words }: Frame): Markup {
  const { overview } = words;
  const show = query.show === 'all' ? null : markup`<input type="hidden" name="show" value="${query.show}">`;
  const said = found === 0 ? overview.nothingFound(query.text) : overview.found(found, query.text);
  const outcome =
    query.text !== '' &&
    markup`<p class="outcome">${named(said, 200)} <a href="${listHref(query, { text: '', show: 'all' })}">${overview.showAll}</a></p>`;
  return markup`<form class="finder" role="search" action="/"><label class="unseen" for="q">${overview.search}</label><div class="field"><input id="q" name="q" type="search" placeholder="${overview.searchHint}" value="${query.text}" maxlength="100" autocomplete="off" enterkeyhint="search">${show}<button>${overview.find}</button></div>${outcome}</form>`;
}

function group(rank: Rank, { rows }: ListPart, strips: Strips, frame: Frame): Markup | null {
  const own = rows.filter((view) => rankOf(view) === rank);
  if (own.length === 0) return null;
  const title = frame.words.overview.groups[rank];
  const items = own.map((view) => row(view, rank, strips, frame));
  return markup`<section class="group" aria-labelledby="g-${rank}" data-key="${rank}"><h2 id="g-${rank}">${title} <span class="soft num">(${own.length})</span></h2><ol class="rows r-${rank}">${items}</ol></section>`;
}

function row(view: PrinterView, rank: Rank, strips: Strips, frame: Frame): Markup {
  const link = markup`<a class="who" href="${printerHref(view.name)}"><bdi>${named(view.name, 80)}</bdi></a>`;
  const urgent = rank === 'silent' || rank === 'unclear';
  const what = urgent ? reason(view, frame) : rank === 'remark' ? remarks(view) : null;
  return markup`<li data-key="${view.name}">${strips.of(view)}${link}${urgent && stands(view, frame)}${about(view, urgent, frame)}${what}</li>`;
}

/** Since when, where, and whom it matters to. */
function about(view: PrinterView, urgent: boolean, frame: Frame): Markup | null {
  const { people, document } = view;
  const place = named(document?.identity.location ?? '', 60);
  const since = urgent ? sinceWords(view, frame) : '';
  const many = urgent && people !== null ? frame.words.overview.people(people) : '';
  const parts = [since, place, many].filter((part) => part !== '');
  if (parts.length === 0) return null;
  return markup`<span class="soft about-it">${parts.map((part, at) => markup`${at === 0 ? '' : ' · '}<bdi>${part}</bdi>`)}</span>`;
}

/** Why, and what to do. */
function reason(view: PrinterView, { words }: Frame): Markup {
  const { overview } = words;
  const { why, known } = view;
  const sentence =
    why === null
      ? `${overview.unread}${known === null ? '' : ` ${overview.before}${named(known.summary, 240)}`}`
      : verdictSentence(why, words);
  const fresh = isFresh(view) && markup`<p class="soft small">${overview.fresh}</p>`;
  return markup`<div class="what"><p>${sentence}</p>${fresh}${nextLine(view, words)}</div>`;
}

/** The first step, and that there is something to take care of; where nothing is decided yet, the question that helps most. */
function nextLine({ why, name }: PrinterView, { overview }: Words): Markup | null {
  const [check] = why?.checks ?? [];
  if (why?.silent === null && check !== undefined) {
    return markup`<p class="go"><b>${overview.next}</b> <span class="num">(${overview.minutes(check.minutes)}):</span> <a href="${printerHref(name)}/ask">${overview.askFirst}</a> ${named(check.ask, 240)}</p>`;
  }
  const step = why?.verdict.next[0];
  if (step === undefined) return null;
  return markup`<p class="go"><b>${overview.next}</b> <span class="num">(${overview.minutes(step.minutes)}):</span> ${named(step.step, 240)}${step.cautions.length > 0 && markup` <a href="${printerHref(name)}">${overview.care}</a>`}</p>`;
}

function remarks({ why }: PrinterView): Markup {
  const said = [...(why?.others ?? []), ...(why?.warnings ?? [])].slice(0, 3);
  return markup`<div class="what"><p>${said.map(({ summary }) => named(summary, 160)).join(' ')}</p></div>`;
}

function pager(query: ListQuery, { page: at, pages }: ListPart, { words }: Frame): Markup | null {
  if (pages === 1) return null;
  const { overview } = words;
  const earlier = at > 1 && markup`<a rel="prev" href="${listHref(query, { page: at - 1 })}">${overview.earlier}</a>`;
  const later = at < pages && markup`<a rel="next" href="${listHref(query, { page: at + 1 })}">${overview.later}</a>`;
  return markup`<nav class="pager" aria-label="${overview.pages}" data-key="pager">${earlier} <span>${overview.pageOf(at, pages)}</span> ${later}</nav>`;
}

function key({ words }: Frame): Markup {
  const { overview, states, layers } = words;
  const marks = LAYER_STATES.map((state) => markup`<li>${shape(state)} ${states[state]}</li>`);
  const from = overview.keyFrom(layers[LAYERS[0]] ?? '', layers[LAYERS.at(-1) ?? ''] ?? '');
  return markup`<section class="key-part" aria-labelledby="key"><h2 id="key">${overview.keyTitle}</h2><p>${from}</p><ul class="key">${marks}</ul><ol class="names">${LAYERS.map((layer) => markup`<li>${layers[layer]}</li>`)}</ol></section>`;
}

function actions({ running, lastAt }: SweepState, frame: Frame): Markup {
  const { words, clock } = frame;
  const { overview } = words;
  const state = running ? overview.sweeping : lastAt === null ? '' : overview.sweptAt(clock.at(lastAt));
  return markup`<section class="doing" aria-label="${words.shell.actions}"><div class="acts">${actionButton('/sweep', overview.sweep, frame)}<p class="act"><a class="button" href="/api/v1/snapshot" download>${overview.snapshot}<small>${overview.snapshotHint}</small></a></p></div><p class="soft small" id="sweep-state" data-live>${state}</p></section>`;
}
