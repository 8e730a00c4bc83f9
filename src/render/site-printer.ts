import type { NextStep } from '../model/layers.js';
import type { Counters } from '../model/printer.js';
import type { SnapshotDocument, SnapshotPrinter, VisitStop } from '../model/snapshot.js';
import type { Blame, LayerEntry, WhyDocument } from '../model/why.js';
import { describeEvidence } from './evidence-words.js';
import { behindVerdict, hedge, isAllWell, layerNumber, STATE_WORDS, standing } from './layer-words.js';
import { type Markup, markup } from './markup.js';
import { historyPart } from './site-history.js';
import { alertsPart, placesPart, suppliesPart } from './site-levels.js';
import { atWords, count, named } from './site-words.js';
import { stateMark } from './svg.js';

const CERTAINTY = { sure: 'sure', likely: 'likely, not sure', possible: 'a best guess' } as const;

/** One printer's card: verdict, ladder, next steps, levels, alerts, counters, evidence. `id` is its anchor in the page. */
export function printerCard(entry: SnapshotPrinter, id: string, { madeAt, visit }: SnapshotDocument): Markup {
  const { why } = entry;
  const others = visit.order.filter((stop) => stop.printer === why.target && stop.cause !== why.verdict.cause);
  return markup`<article class="printer sheet" id="${id}" aria-labelledby="${id}-name">
${cardHead(entry, id)}
<div class="cols">
<div class="part"><h4>From wall socket to page</h4>${ladder(why.layers)}</div>
<div class="parts">${nextPart(why.verdict.next)}${blamePart('Also wrong', why.others)}${others.flatMap((stop) => otherSteps(stop) ?? [])}${blamePart('Stops nothing, but worth knowing', why.warnings)}${suspectsPart(why)}${checksPart(why)}${suppliesPart(entry)}${placesPart(entry.printer)}${historyPart(entry, madeAt)}${alertsPart(entry.printer)}${factsPart(entry)}</div>
</div>
${evidencePart(why)}
</article>`;
}

function cardHead({ why, knownAs }: SnapshotPrinter, id: string): Markup {
  const { verdict } = why;
  const { model = why.printer.model, serial = why.printer.serial, location = null } = knownAs ?? {};
  const about = [model, why.printer.address, serial && `serial ${serial}`, location];
  const known = about.filter((part): part is string => part !== null && part !== '');
  const part = verdict.component === undefined ? '' : `, ${named(verdict.component)}`;
  const where = isAllWell(why) ? '' : `Layer ${layerNumber(verdict.layer)} of 13, ${verdict.layer}: `;
  return markup`<header><div class="top"><h3 id="${id}-name"><bdi>${named(why.target)}</bdi></h3>${standingWords(why)}</div>
<p class="soft">${known.map((text, index) => markup`${index === 0 ? '' : ' · '}<bdi>${named(text)}</bdi>`)}</p>
<p class="verdict">${hedge(why)}${named(verdict.summary, 400)}</p>
<p class="where soft">${where}<code>${named(verdict.cause)}</code>${part} (${CERTAINTY[verdict.certainty]})</p></header>`;
}

const STAND_STATE = { true: 'fault', false: 'clear', null: 'unknown' } as const;

/** The word for how printing stands, coloured by it. */
export function standingWords(why: WhyDocument): Markup {
  const state = STAND_STATE[`${why.silent}`];
  const words = standing(why.silent);
  return markup`<span class="stands s-${state}">${words[0]?.toUpperCase()}${words.slice(1)}</span>`;
}

function ladder(layers: readonly LayerEntry[]): Markup {
  const rungs = layers.map((entry) => {
    const part = entry.component === undefined ? '' : ` (${named(entry.component)})`;
    const telling = entry.state === 'fault' || entry.state === 'warning';
    const note =
      telling && entry.cause !== undefined ? markup`<span class="note">${named(entry.cause)}${part}</span>` : null;
    return markup`<li class="is-${entry.state}"><span class="line s-${entry.state}">${stateMark(entry.state)}</span><span class="say s-${entry.state}"><span class="layer">${entry.layer}</span> <span class="state">${STATE_WORDS[entry.state]}</span>${note}</span></li>`;
  });
  return markup`<ol class="way">${rungs}</ol>`;
}

/** What to do about a fault beside the verdict. */
function otherSteps({ tasks = [], cause = '' }: VisitStop): Markup | null {
  return nextPart(tasks, `Steps for ${named(cause)}`);
}

function nextPart(next: readonly NextStep[], title?: string): Markup | null {
  if (next.length === 0) return null;
  const steps = next.map((step) => {
    const care = step.cautions.map((text) => markup`<p class="care"><b>Care:</b> ${named(text, 600)}</p>`);
    return markup`<li><span class="min num">${step.minutes} min</span><span>${named(step.step, 600)}</span>${care}</li>`;
  });
  return markup`<div class="part wide"><h4>${title ?? (next.length === 1 ? 'Next step' : 'Next steps')}</h4><ol class="next">${steps}</ol></div>`;
}

function blamePart(title: string, blames: readonly Blame[]): Markup | null {
  if (blames.length === 0) return null;
  const items = blames.map(
    (blame) =>
      markup`<li>${named(blame.summary, 400)} <span class="tag">${blame.layer}: <code>${named(blame.cause)}</code></span></li>`,
  );
  return markup`<div class="part"><h4>${title}</h4><ul class="plain">${items}</ul></div>`;
}

function suspectsPart(why: WhyDocument): Markup | null {
  if (why.suspects.length === 0) return null;
  const rows = why.suspects.map((suspect) => {
    const percent = suspect.probability < 0.01 ? 'under 1' : String(Math.round(suspect.probability * 100));
    return markup`<tr><th scope="row">${suspect.layer}: <code>${named(suspect.cause)}</code></th><td class="num">${percent} %</td></tr>`;
  });
  return markup`<div class="part"><h4>What it may be</h4><table><tbody>${rows}</tbody></table></div>`;
}

function checksPart(why: WhyDocument): Markup | null {
  if (why.checks.length === 0) return null;
  const items = why.checks.slice(0, 5).map((check) => {
    const sheets = check.sheets === 0 ? '' : `, ${count(check.sheets, 'sheet')}`;
    const answers = check.outcomes.map((outcome) => named(outcome, 40)).join(', ');
    return markup`<li>${named(check.ask, 400)} <span class="tag">${check.minutes} min${sheets}; answers to <code>${named(check.id, 60)}</code>: ${answers}</span></li>`;
  });
  return markup`<div class="part"><h4>What would tell, best first</h4><ol class="plain">${items}</ol></div>`;
}

function factsPart({ printer, counters, sinceVisit }: SnapshotPrinter): Markup | null {
  if (printer === null) return null;
  const printed = sinceVisit?.pages ?? null;
  const { identity, state } = printer;
  const pairs: readonly (readonly [string, string | null])[] = [
    ['Pages in all', countWords(counters, 'lifePages')],
    ['Pages since the last visit', printed === null ? null : grouped(printed)],
    ['Times silent since then', sinceVisit === undefined ? null : String(sinceVisit.faults)],
    ['Since switched on', countWords(counters, 'powerOnPages')],
    ['Display', printer.console.length === 0 ? null : printer.console.map((line) => named(line, 80)).join(' / ')],
    ['Says of itself', state.reasons.length === 0 ? null : state.reasons.slice(0, 8).join(', ')],
    ['Firmware', identity.firmware],
    ['Contact', identity.contact],
    ['Read', atWords(printer.readAt)],
  ];
  const known = pairs.filter((pair): pair is readonly [string, string] => pair[1] !== null && pair[1] !== '');
  const list = known.map(([term, text]) => markup`<dt>${term}</dt><dd>${named(text, 240)}</dd>`);
  return markup`<div class="part"><h4>Counters and particulars</h4><dl class="facts">${list}</dl></div>`;
}

function countWords(counters: Counters | null, key: keyof Counters): string | null {
  const value = counters?.[key] ?? null;
  return value === null ? null : grouped(value);
}

function grouped(value: number): string {
  return String(value).replace(/\B(?=(\d{3})+$)/g, ' ');
}

function evidencePart(why: WhyDocument): Markup | null {
  if (why.evidence.length === 0) return null;
  const behind = new Set(behindVerdict(why));
  const records = why.evidence.map((record) => {
    const own = behind.has(record.id);
    const words = named(describeEvidence(record), 400);
    return markup`<li${own ? markup` class="behind"` : null}><code>${named(record.id, 12)}</code><span>${words}${own ? ' (behind the verdict)' : ''}</span></li>`;
  });
  return markup`<details><summary>Evidence: ${count(why.evidence.length, 'record')}, asked ${atWords(why.askedAt)}</summary><ol class="records">${records}</ol></details>`;
}
