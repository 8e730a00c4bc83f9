import type { Incident } from '../model/snapshot.js';
import { type Markup, markup } from './markup.js';
import { atWords, count, named } from './site-words.js';

const DAY = 86_400_000;
export const DAYS = 90;
/** Units of the drawing: one a day. */
const HEIGHT = 8;
/** What ended within minutes is still to be seen. */
const LEAST_WIDTH = 0.6;
const SHOWN = 8;

/** The last three months of one printer: a line of its silent times, and the newest of them in words. Null when nothing is remembered. */
export function historyPart(incidents: readonly Incident[], madeAt: string): Markup | null {
  if (incidents.length === 0) return null;
  const items = incidents.slice(0, SHOWN).map((incident) => markup`<li>${incidentWords(incident)}</li>`);
  const more = incidents.length - items.length;
  const rest = more > 0 ? markup`<li class="tag">and ${more} more, in site.json</li>` : null;
  const drawn = timeline(
    incidents,
    Date.parse(madeAt),
    `${count(incidents.length, 'time')} silent in ${DAYS} days, today at the right`,
  );
  return markup`<div class="part"><h4>The last ${DAYS} days</h4>${drawn}<ul class="plain">${items}${rest}</ul></div>`;
}

function incidentWords({ startedAt, endedAt, layer, cause, component }: Incident): Markup {
  const part = component === null ? '' : `, ${named(component)}`;
  const span =
    endedAt === null ? `since ${atWords(startedAt)}` : `${atWords(startedAt)}, for ${spanWords(startedAt, endedAt)}`;
  return markup`${span} <span class="tag">${layer}: <code>${named(cause)}</code>${part}</span>`;
}

function spanWords(from: string, to: string): string {
  const minutes = Math.max(0, Math.round((Date.parse(to) - Date.parse(from)) / 60_000));
  if (minutes < 120) return count(minutes, 'minute');
  const hours = Math.round(minutes / 60);
  return hours < 48 ? count(hours, 'hour') : count(Math.round(hours / 24), 'day');
}

/** Today is at the right end. Silent times stand out by their height, not by colour alone; `words` tell the same to who can't see it. */
export function timeline(incidents: readonly Incident[], now: number, words: string): Markup {
  const start = now - DAYS * DAY;
  const marks = incidents.map(({ startedAt, endedAt }) => {
    const from = Math.max(0, (Date.parse(startedAt) - start) / DAY);
    const to = Math.min(DAYS, ((endedAt === null ? now : Date.parse(endedAt)) - start) / DAY);
    const width = Math.max(LEAST_WIDTH, to - from);
    const x = Math.min(from, DAYS - width);
    return markup`<rect class="silent" x="${x.toFixed(2)}" y="0" width="${width.toFixed(2)}" height="${HEIGHT}"/>`;
  });
  return markup`<svg class="days" viewBox="0 0 ${DAYS} ${HEIGHT}" preserveAspectRatio="none" role="img" aria-label="${words}"><rect class="way" x="0" y="3" width="${DAYS}" height="2"/>${marks}</svg>`;
}
