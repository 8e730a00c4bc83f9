import type { KeptIncident } from '../model/incident.js';
import type { LayerId } from '../model/layers.js';
import { type Markup, markup } from '../render/markup.js';
import { DAYS, timeline } from '../render/site-history.js';
import { named } from '../render/site-words.js';
import type { Frame } from './frame.js';
import { shape } from './shapes.js';

/** What the agent remembers of one printer, newest first. Times are milliseconds since 1970. */
export interface PrinterPast {
  readonly firstSeen: number | null;
  /** Of the last 90 days. */
  readonly incidents: readonly KeptIncident[];
  readonly verdicts: readonly {
    readonly at: number;
    readonly silent: boolean | null;
    readonly layer: LayerId;
    readonly cause: string;
    readonly summary: string;
  }[];
  /** What was new of its identity, and since when. */
  readonly changes: readonly { readonly kind: string; readonly value: string; readonly at: number }[];
}

const MOST = 8;

/** When it was silent, what changed of it, how it was found. Null: the memory can't be read. */
export function pastPart(past: PrinterPast | null, frame: Frame): Markup {
  const { words } = frame;
  const { history, printer } = words;
  const inside = past === null ? markup`<p class="soft">${history.away}</p>` : remembered(past, frame);
  return markup`<section class="part wide" id="history" data-live><h2>${printer.history}</h2>${inside}</section>`;
}

function remembered({ incidents, verdicts, changes }: PrinterPast, frame: Frame): Markup {
  const { history } = frame.words;
  if (incidents.length + verdicts.length + changes.length === 0) return markup`<p class="soft">${history.none}</p>`;
  const drawn = timeline(incidents, frame.clock.now, history.timeline(incidents.length, DAYS));
  return markup`${drawn}<div class="columns">${list(history.incidents, incidents, (one) => incidentItem(one, frame), frame)}${list(history.verdicts, verdicts, (one) => verdictItem(one, frame), frame)}${list(history.changes, changes, (one) => changeItem(one, frame), frame)}</div>`;
}

function list<T>(title: string, all: readonly T[], item: (one: T) => Markup, { words }: Frame): Markup | null {
  if (all.length === 0) return null;
  const more = all.length - MOST;
  const rest = more > 0 ? markup`<li class="soft">${words.printer.more(more)}</li>` : null;
  return markup`<div><h3>${title}</h3><ul class="plain">${all.slice(0, MOST).map((one) => markup`<li>${item(one)}</li>`)}${rest}</ul></div>`;
}

/** "since 08:10, for 50 minutes now: Paper, media-empty, Tray 2". */
function incidentItem(incident: KeptIncident, { words, clock }: Frame): Markup {
  const { startedAt, endedAt, layer, cause, component, note } = incident;
  const { history, layers } = words;
  const from = clock.at(startedAt);
  const length = clock.span((endedAt === null ? clock.now : Date.parse(endedAt)) - Date.parse(startedAt));
  const span = endedAt === null ? history.ongoing(from, length) : history.over(from, length);
  const part = component === null ? '' : `, ${named(component, 60)}`;
  const helped = note !== null && note !== '' && markup` <q>${named(note, 300)}</q>`;
  return markup`${span} <span class="tag">${layers[layer]}: <code>${named(cause, 60)}</code>${part}</span>${helped}`;
}

function verdictItem({ at, silent, summary }: PrinterPast['verdicts'][number], { clock }: Frame): Markup {
  const mark = shape(silent === null ? 'unknown' : silent ? 'fault' : 'clear');
  return markup`${mark} ${clock.at(at)}: ${named(summary, 240)}`;
}

function changeItem({ kind, value, at }: PrinterPast['changes'][number], { words, clock }: Frame): Markup {
  return markup`${clock.at(at)}: ${words.history.changed[kind] ?? named(kind, 30)} <bdi>${named(value, 80)}</bdi>`;
}
