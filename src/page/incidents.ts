import type { KeptIncident, Reliability } from '../model/incident.js';
import { type Markup, markup } from '../render/markup.js';
import { named } from '../render/site-words.js';
import { causeSentence } from './cause-words.js';
import { csrfField, type Frame, page } from './frame.js';
import { shape } from './shapes.js';
import { percent } from './verdict-words.js';
import { printerHref } from './view.js';

export interface IncidentsModel {
  /** Those that go on, and the newest that are over; newest first. */
  readonly incidents: readonly KeptIncident[];
  /** Worst first. */
  readonly reliability: readonly Reliability[];
  /** What is said of one that goes on by whoever looked last; null: another thing, or nothing. */
  readonly said?: (incident: KeptIncident) => string | null;
}

const MOST_PAST = 100;
const MOST_PRINTERS = 50;
/** A share of less time says nothing. */
const DAY_SECONDS = 86_400;

/** What goes on, what is over, how reliable each printer was. Null: the memory can't be read. */
export function incidentsPage(model: IncidentsModel | null, frame: Frame): string {
  const { incidents: words } = frame.words;
  const inside = model === null ? markup`<p>${words.away}</p>` : lists(model, frame);
  const main = markup`<h1>${words.title}</h1>${inside}`;
  return page({ title: words.title, place: 'incidents', main, live: true }, frame);
}

function lists({ incidents, reliability, said = () => null }: IncidentsModel, frame: Frame): Markup {
  const { incidents: words } = frame.words;
  const open = incidents.filter(({ endedAt }) => endedAt === null);
  const past = incidents.filter(({ endedAt }) => endedAt !== null);
  const shown = past.slice(0, MOST_PAST);
  const more = past.length > shown.length && markup`<p class="soft">${words.most(MOST_PAST)}</p>`;
  return markup`<section id="open" data-live aria-labelledby="open-title"><h2 id="open-title">${words.open} <span class="soft num">(${open.length})</span></h2>${open.length === 0 ? markup`<p>${words.noneOpen}</p>` : markup`<ol class="cards">${open.map((one) => openItem(one, said(one), frame))}</ol>`}</section>
<section id="past" data-live aria-labelledby="past-title"><h2 id="past-title">${words.past}</h2>${past.length === 0 ? markup`<p>${words.nonePast}</p>` : markup`<ol class="plain ruled">${shown.map((one) => pastItem(one, frame))}</ol>`}${more}</section>
${reliabilityTable(reliability, frame)}`;
}

function openItem(incident: KeptIncident, said: string | null, frame: Frame): Markup {
  const { words, clock } = frame;
  const { id, startedAt, acknowledgedAt, note, flapping } = incident;
  const span = words.history.ongoing(clock.at(startedAt), clock.span(clock.now - Date.parse(startedAt)));
  const seen = acknowledgedAt === null ? null : words.incidents.acknowledged(clock.at(acknowledgedAt));
  const tags = [span, flapping ? words.incidents.flapping : null, seen].filter((part) => part !== null).join(' · ');
  const label = seen === null ? words.incidents.acknowledge : words.incidents.acknowledgeAgain;
  return markup`<li class="sheet" data-key="${id}"><p class="top">${shape('fault')} ${whom(incident, frame)}</p><p>${what(incident, frame, said)}</p><p class="soft small">${tags}</p>${quoted(note)}<details id="d-${id}"><summary>${label}</summary><form method="post" action="/incidents/${encodeURIComponent(id)}/acknowledge">${csrfField(frame.csrf)}<label for="n-${id}">${words.incidents.note}</label><div class="field"><input id="n-${id}" name="note" maxlength="500" autocomplete="off"><button>${words.incidents.keep}</button></div></form></details></li>`;
}

function pastItem(incident: KeptIncident, frame: Frame): Markup {
  const { words, clock } = frame;
  const { id, startedAt, endedAt, note } = incident;
  const length = clock.span(Date.parse(endedAt ?? startedAt) - Date.parse(startedAt));
  return markup`<li data-key="${id}">${whom(incident, frame)} <span class="soft small">${words.history.over(clock.at(startedAt), length)}</span><br>${what(incident, frame)}${quoted(note)}</li>`;
}

function whom({ printer, affects }: KeptIncident, { words }: Frame): Markup {
  const [first = printer] = affects.includes(printer) ? [printer] : affects;
  const others = affects.filter((name) => name !== first).length;
  return markup`<a class="who" href="${printerHref(first)}"><bdi>${named(first, 80)}</bdi></a>${others > 0 && markup` <span class="soft">${words.incidents.and(others)}</span>`}`;
}

function what({ layer, cause, component }: KeptIncident, { words }: Frame, said: string | null = null): Markup {
  const part = component === null ? '' : ` (${named(component, 80)})`;
  const sentence = said === null ? causeSentence(layer, cause, component) : named(said, 300);
  return markup`${sentence} <span class="tag">${words.layers[layer]}: <code>${named(cause, 60)}</code>${part}</span>`;
}

function quoted(note: string | null): Markup | null {
  return note === null || note === '' ? null : markup`<p><q>${named(note, 500)}</q></p>`;
}

function reliabilityTable(all: readonly Reliability[], { words, clock }: Frame): Markup | null {
  const worst = all
    .filter(({ faults, watchedSeconds }) => faults > 0 && watchedSeconds >= DAY_SECONDS)
    .slice(0, MOST_PRINTERS);
  if (worst.length === 0) return null;
  const { incidents } = words;
  const rows = worst.map(({ printer, availability, faults, meanSecondsBetweenFaults: mean, watchedSeconds }) => {
    const between = mean === null ? '–' : clock.span(mean * 1000);
    return markup`<tr><th scope="row"><a href="${printerHref(printer)}"><bdi>${named(printer, 60)}</bdi></a></th><td class="num">${share(availability)}</td><td class="num">${faults}</td><td>${between}</td><td>${clock.span(watchedSeconds * 1000)}</td></tr>`;
  });
  return markup`<section aria-labelledby="reliable"><h2 id="reliable">${incidents.reliability}</h2><div class="scroll" tabindex="0" role="region" aria-labelledby="reliable"><table><thead><tr><th scope="col">${incidents.printer}</th><th scope="col">${incidents.couldPrint}</th><th scope="col">${incidents.faults}</th><th scope="col">${incidents.between}</th><th scope="col">${incidents.watched}</th></tr></thead><tbody>${rows}</tbody></table></div></section>`;
}

/** A share that is not whole is never rounded up to whole. */
function share(availability: number): string {
  const rounded = Math.round(availability * 1000) / 10;
  return availability < 1 && rounded >= 100
    ? '> 99.9 %'
    : availability === 0
      ? '0 %'
      : rounded < 1
        ? percent(availability)
        : `${rounded} %`;
}
