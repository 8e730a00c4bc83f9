import type { Forecast, Maintenance, Order, SuppliesDocument } from '../model/supplies.js';
import { type Markup, markup } from '../render/markup.js';
import { isForWaste, named } from '../render/site-words.js';
import { levelBar } from '../render/svg.js';
import { type Frame, page } from './frame.js';
import { lastsWords } from './levels.js';
import { shape } from './shapes.js';
import { printerHref } from './view.js';

const MOST = 1_000;
const MOST_FITS = 12;

/** What to order by when, what runs out when, which parts are due. Null: there is no past yet. */
export function suppliesPage(document: SuppliesDocument | null, frame: Frame): string {
  const { supplies: words } = frame.words;
  const inside = document === null ? markup`<p>${words.away}</p>` : lists(document, frame);
  const main = markup`<h1>${words.title}</h1>${inside}`;
  return page({ title: words.title, place: 'supplies', main, live: false }, frame);
}

function lists(document: SuppliesDocument, frame: Frame): Markup {
  const { supplies: words } = frame.words;
  const { orders, problems } = document;
  const order =
    orders.length === 0
      ? markup`<p>${words.nothing}</p>`
      : markup`<ul class="cards">${orders.map((one) => orderItem(one, frame))}</ul>`;
  const unread =
    problems.length > 0 &&
    markup`<section><h2>${words.problems}</h2><ul class="plain">${problems.map((one) => markup`<li>${named(one, 300)}</li>`)}</ul></section>`;
  return markup`<section aria-labelledby="order"><h2 id="order">${words.order}</h2>${order}</section>${maintenance(document.maintenance, frame)}${forecasts(document.forecasts, frame)}${feeding(document, frame)}${unread}<p class="soft small">${words.file}<a href="/api/v1/supplies">/api/v1/supplies</a></p>`;
}

function orderItem({ what, fits, quantity, orderBy, because }: Order, { words, clock }: Frame): Markup {
  const names = fits.slice(0, MOST_FITS).map((name) => named(name, 60));
  const more = fits.length > MOST_FITS ? `, ${words.printer.more(fits.length - MOST_FITS)}` : '';
  return markup`<li class="sheet"><p><b class="num">${quantity} ×</b> <bdi>${named(what, 160)}</bdi></p><p><b>${words.supplies.orderBy(clock.date(orderBy))}</b>, ${words.supplies.for(`${names.join(', ')}${more}`)}</p><p class="soft small">${named(because, 300)}</p></li>`;
}

/** What ends first stands first; what can't be foreseen stands last, the emptiest first. */
function byEnd(a: Forecast, b: Forecast): number {
  const end = ({ daysLeft }: Forecast): number => daysLeft?.median ?? Number.POSITIVE_INFINITY;
  const left = ({ percent }: Forecast): number => percent ?? 101;
  if (end(a) !== end(b)) return end(a) - end(b);
  return left(a) - left(b) || (a.printer < b.printer ? -1 : 1);
}

const SHAPES = { low: 'warning', empty: 'fault', full: 'fault', ok: 'clear', unknown: 'unknown' } as const;

function forecasts(all: readonly Forecast[], frame: Frame): Markup {
  const { words } = frame;
  const { supplies } = words;
  if (all.length === 0) return markup`<p>${supplies.noForecast}</p>`;
  const rows = [...all]
    .sort(byEnd)
    .slice(0, MOST)
    .map((one) => forecastRow(one, frame));
  return markup`<section aria-labelledby="forecast"><h2 id="forecast">${supplies.forecast}</h2><ol class="rows supply">${rows}</ol></section>`;
}

function forecastRow(one: Forecast, frame: Frame): Markup {
  const { words } = frame;
  const { printer, supply, percent, state, because } = one;
  const word = words.levels[state];
  const room = isForWaste(supply.type) ? ` ${words.printer.roomLeft}` : '';
  const level = percent === null ? words.levels.notTold : `${percent} %${room}`;
  const lasts = lastsWords(one, frame);
  const bar = percent === null ? null : levelBar(percent, state);
  return markup`<li><a class="who" href="${printerHref(printer)}"><bdi>${named(printer, 60)}</bdi></a><span class="name"><bdi>${named(supply.name, 80)}</bdi></span><span class="level">${shape(SHAPES[state])} ${word === '' ? null : `${word}, `}<span class="num">${level}</span>${bar}</span><span class="lasts${lasts === '' && ' soft'}">${lasts === '' ? sentence(because) : sentence(lasts)}</span></li>`;
}

function sentence(text: string): string {
  const short = named(text, 200);
  return `${short.charAt(0).toUpperCase()}${short.slice(1)}.`;
}

const PART_SHAPES = { ok: 'clear', soon: 'warning', due: 'fault', unknown: 'unknown' } as const;

function maintenance(all: readonly Maintenance[], { words, clock }: Frame): Markup | null {
  const pressing = all.filter(({ state }) => state === 'due' || state === 'soon');
  if (pressing.length === 0) return null;
  const { supplies } = words;
  const number = new Intl.NumberFormat(words.locale);
  const items = pressing.map(({ printer, part, state, pagesLeft, dueAt, because }) => {
    const pages =
      pagesLeft === null
        ? ''
        : pagesLeft < 0
          ? supplies.overdue(number.format(-pagesLeft))
          : supplies.pagesLeft(number.format(pagesLeft));
    const said = [dueAt === null ? '' : supplies.dueAt(clock.date(dueAt)), pages].filter((part_) => part_ !== '');
    return markup`<li>${shape(PART_SHAPES[state])} <a href="${printerHref(printer)}"><bdi>${named(printer, 60)}</bdi></a>: <bdi>${named(part, 80)}</bdi>, ${supplies.partStates[state]} <span class="tag">${said.join(', ')} ${named(because, 200)}</span></li>`;
  });
  return markup`<section aria-labelledby="due"><h2 id="due">${supplies.maintenance}</h2><ul class="plain spaced">${items}</ul></section>`;
}

function feeding({ feeding: all = [] }: SuppliesDocument, { words }: Frame): Markup | null {
  const worth = all.filter(({ rising, faults }) => rising || faults > 0).slice(0, MOST_FITS);
  if (worth.length === 0) return null;
  const items = worth.map(
    ({ printer, tray, faults, per10000, rising }) =>
      markup`<li>${shape(rising ? 'warning' : 'clear')} <a href="${printerHref(printer)}"><bdi>${named(printer, 60)}</bdi></a> ${words.supplies.feedingRow(named(tray, 60), faults, per10000.toFixed(1), rising)}</li>`,
  );
  return markup`<section aria-labelledby="feeding"><h2 id="feeding">${words.supplies.feeding}</h2><ul class="plain spaced">${items}</ul></section>`;
}
