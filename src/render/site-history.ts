import type { Incident, PastState, PrinterPast, SnapshotPrinter } from '../model/snapshot.js';
import { type Markup, markup } from './markup.js';
import { atWords, count, named } from './site-words.js';

const DAY = 86_400_000;
export const DAYS = 90;
/** Units of the drawings: one a day. */
const HEIGHT = 8;
const PAGES_HEIGHT = 16;
/** What ended within minutes is still to be seen. */
const LEAST_WIDTH = 0.6;
const SHOWN = 8;

/**
 * The last three months of one printer: a line of how it was, the pages of each day, and the newest silent times in words. Null when
 * nothing is remembered.
 */
export function historyPart({ incidents, past }: SnapshotPrinter, madeAt: string): Markup | null {
  if (incidents.length === 0 && past === undefined) return null;
  const items = incidents.slice(0, SHOWN).map((incident) => markup`<li>${incidentWords(incident)}</li>`);
  const more = incidents.length - items.length;
  const rest = more > 0 ? markup`<li class="tag">and ${more} more, in site.json</li>` : null;
  const now = Date.parse(madeAt);
  const line =
    past === undefined
      ? timeline(incidents, now, `${count(incidents.length, 'time')} silent in ${DAYS} days, today at the right`)
      : stateLine(past, now);
  const list =
    items.length === 0 ? markup`<p class="tag">Not silent once.</p>` : markup`<ul class="plain">${items}${rest}</ul>`;
  return markup`<div class="part"><h4>The last ${DAYS} days</h4>${line}${past === undefined ? null : pagesPart(past)}${list}</div>`;
}

function incidentWords({ startedAt, endedAt, layer, cause, component }: Incident): Markup {
  const part = component === null ? '' : `, ${named(component)}`;
  const span =
    endedAt === null ? `since ${atWords(startedAt)}` : `${atWords(startedAt)}, for ${spanWords(startedAt, endedAt)}`;
  return markup`${span} <span class="tag">${layer}: <code>${named(cause)}</code>${part}</span>`;
}

function spanWords(from: string, to: string): string {
  return lengthWords(Date.parse(to) - Date.parse(from));
}

function lengthWords(ms: number): string {
  const minutes = Math.max(0, Math.round(ms / 60_000));
  if (minutes < 120) return count(minutes, 'minute');
  const hours = Math.round(minutes / 60);
  return hours < 48 ? count(hours, 'hour') : count(Math.round(hours / 24), 'day');
}

/** Silent times alone, where no more is known. Today is at the right end; they stand out by their height, not by colour alone. */
export function timeline(incidents: readonly Incident[], now: number, words: string): Markup {
  const spans = incidents.map(({ startedAt, endedAt }) => ({ from: startedAt, to: endedAt, state: 'silent' as const }));
  return drawn(spans, now, words, markup`<rect class="way" x="0" y="3" width="${DAYS}" height="2"/>`);
}

const STATE_WORDS: Readonly<Record<PastState, string>> = {
  well: 'can print',
  silent: 'silent',
  unclear: 'not known',
  unwatched: 'not watched',
};

/** Every state, told apart by height and place, not by colour alone: silent is tall, not known half as tall, not watched a gap. */
function stateLine({ states }: PrinterPast, now: number): Markup {
  const words = (['well', 'silent', 'unclear', 'unwatched'] as const).flatMap((state) => {
    const own = states.filter((one) => one.state === state);
    const ms = own.reduce((sum, { from, to }) => sum + Date.parse(to) - Date.parse(from), 0);
    return own.length === 0 ? [] : [`${STATE_WORDS[state]} ${lengthWords(ms)}`];
  });
  return markup`${drawn(states, now, `${DAYS} days, today at the right: ${words.join(', ')}`, null)}<p class="tag">${words.join(', ')}</p>`;
}

interface Drawn {
  readonly from: string;
  readonly to: string | null;
  readonly state: PastState;
}

const SHAPES: Readonly<Record<PastState, readonly [y: number, height: number]>> = {
  well: [3, 2],
  silent: [0, HEIGHT],
  unclear: [4, 4],
  unwatched: [0, 0],
};

function drawn(spans: readonly Drawn[], now: number, words: string, ground: Markup | null): Markup {
  const start = now - DAYS * DAY;
  const marks = spans
    .filter(({ state }) => state !== 'unwatched')
    .map(({ from, to, state }) => {
      const a = Math.max(0, (Date.parse(from) - start) / DAY);
      const b = Math.min(DAYS, ((to === null ? now : Date.parse(to)) - start) / DAY);
      const width = Math.max(state === 'well' ? 0 : LEAST_WIDTH, b - a);
      const [y, height] = SHAPES[state];
      return markup`<rect class="${state}" x="${Math.min(a, DAYS - width).toFixed(2)}" y="${y}" width="${width.toFixed(2)}" height="${height}"/>`;
    });
  return markup`<svg class="days" viewBox="0 0 ${DAYS} ${HEIGHT}" preserveAspectRatio="none" role="img" aria-label="${words}">${ground}${marks}</svg>`;
}

/** A bar for each day; a day without a reading is a gap, a day without a page a stroke at the foot. */
function pagesPart({ pages, firstDay }: PrinterPast): Markup | null {
  const known = pages.filter((one) => one !== null);
  if (known.length === 0) return null;
  const most = Math.max(...known, 1);
  const sum = known.reduce((all, one) => all + one, 0);
  const bars = pages.flatMap((one, day) => {
    if (one === null) return [];
    const height = Math.max(0.4, (one / most) * PAGES_HEIGHT);
    return markup`<rect x="${(day + 0.1).toFixed(1)}" y="${(PAGES_HEIGHT - height).toFixed(2)}" width="0.8" height="${height.toFixed(2)}"/>`;
  });
  const mean = Math.round(sum / known.length);
  const words = `${sum} pages on ${count(known.length, 'day')} that were read, ${mean} a day, at most ${most}`;
  return markup`<svg class="pages" viewBox="0 0 ${pages.length} ${PAGES_HEIGHT}" preserveAspectRatio="none" role="img" aria-label="Pages a day since ${firstDay}: ${words}">${bars}</svg><p class="tag">${words}</p>`;
}
