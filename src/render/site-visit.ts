import type { BringItem, PresentItem, RunsOut, SnapshotDocument, VisitQuestion, VisitStop } from '../model/snapshot.js';
import { type Markup, markup } from './markup.js';
import { atWords, count, named } from './site-words.js';

/** The visit: order of work, who has to be there, what to carry, what runs out, what to find out. Null when there is nothing to do. */
export function visitPart(snapshot: SnapshotDocument): Markup | null {
  const { order, bring, present = [], questions = [], runsOut = [], nextVisit } = snapshot.visit;
  if (order.length + bring.length + questions.length === 0) return null;
  const parts = [
    listPart('Order', order.map(stopItem), 'ol', 'round'),
    listPart('To be there, or to be reached', present.map(presentItem), 'ul', 'ticks'),
    listPart('Bring', bring.map(bringItem), 'ul', 'ticks'),
    listPart(`Used up, or may be, before ${nextVisit ?? 'the next visit'}`, runsOut.map(runsOutItem), 'ul', 'bring'),
    listPart('To find out on site', questions.map(questionItem), 'ul', 'ticks'),
  ].filter((part) => part !== null);
  return markup`<section aria-labelledby="visit-title"><h2 id="visit-title">The round</h2><p class="key">The same to carry is in visit.pdf. What is ticked or written here stays in this window and is gone with it.</p><div class="two${parts.length > 1 ? ' both' : ''}">${parts}</div></section>`;
}

function listPart(title: string, items: readonly Markup[], list: 'ol' | 'ul', look: string): Markup | null {
  if (items.length === 0) return null;
  const body = list === 'ol' ? markup`<ol class="${look}">${items}</ol>` : markup`<ul class="${look}">${items}</ul>`;
  return markup`<div class="sheet"><h3 class="small">${title}</h3>${body}</div>`;
}

function stopItem(stop: VisitStop): Markup {
  const people = stop.people === null ? '' : `, ${count(stop.people, 'person stopped', 'people stopped')}`;
  const remote = stop.remote
    ? `, from the desk${stop.afterPrevious === true ? ' once the stop before is done' : ''}`
    : '';
  const since = (stop.since ?? null) === null ? '' : ` Since ${atWords(stop.since ?? '')}.`;
  const also = (stop.alsoFor ?? []).length === 0 ? '' : ` Helps ${namesOf(stop.alsoFor ?? [])} too.`;
  const what = `${stop.layer ?? ''}${stop.summary === undefined ? '' : `: ${named(stop.summary, 240)}`}${since}${also}`;
  return markup`<li><span><b><bdi>${named(stop.printer)}</bdi></b> <span class="soft">up to ${stop.minutes} min${remote}${people}</span><br>${what}</span></li>`;
}

function namesOf(names: readonly string[]): string {
  const shown = names.slice(0, 12).map((name) => named(name, 60));
  const more = names.length - shown.length;
  return `${shown.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

/** A box to tick; nothing is sent or kept. */
function ticked(words: Markup): Markup {
  return markup`<li><label><input type="checkbox"> <span>${words}</span></label></li>`;
}

function presentItem({ who, for: printers, because }: PresentItem): Markup {
  return ticked(markup`${named(who, 200)} <span class="soft">for ${namesOf(printers)}: ${named(because, 400)}</span>`);
}

function bringItem({ what, for: printers, quantity = 1 }: BringItem): Markup {
  const many = quantity > 1 ? `${quantity} × ` : '';
  return ticked(markup`${many}${named(what, 200)} <span class="soft">for ${namesOf(printers)}</span>`);
}

function runsOutItem({ printer, supply, percent, state, emptyAt }: RunsOut): Markup {
  const level = percent === null || state === 'full' ? state : `${percent} %, ${state}`;
  const until =
    emptyAt === null ? 'no history to tell until when' : `until about ${emptyAt.median}, at worst ${emptyAt.low}`;
  return markup`<li><bdi>${named(printer, 60)}</bdi>: ${named(supply)} <span class="soft">${level}; ${until}</span></li>`;
}

function questionItem({ printer, ask, answers }: VisitQuestion): Markup {
  const boxes = answers.map(
    (answer) => markup`<label><input type="checkbox"> <span>${named(answer, 40)}</span></label> `,
  );
  return markup`<li><span><b><bdi>${named(printer, 60)}</bdi></b>: ${named(ask, 300)}</span><span class="answers">${boxes}<input type="text" class="hand" aria-label="Answer for ${named(printer, 60)}: ${named(ask, 120)}"></span></li>`;
}
