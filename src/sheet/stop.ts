import type { NextStep } from '../model/layers.js';
import type { SnapshotPrinter, VisitQuestion, VisitStop } from '../model/snapshot.js';
import { layerNumber } from '../render/layer-words.js';
import { count } from '../render/site-words.js';
import type { Composer } from './blocks.js';
import type { Span } from './lines.js';
import type { Block } from './pages.js';
import { durationWords, namesWords, onPaper, type SiteClock } from './words.js';

const INDENT = 15;
const CERTAINTY = { sure: '', likely: 'Probably: ', possible: 'Best guess: ' } as const;

/** What a stop is shown with. */
export interface StopParts {
  readonly compose: Composer;
  readonly clock: SiteClock;
  readonly entry: SnapshotPrinter | undefined;
  readonly questions: readonly VisitQuestion[];
  /** From 1. */
  readonly number: number;
}

/** One stop: where it is, what is wrong, what to do with which care, what to find out, room to write down what was done. */
export function stopBlocks(stop: VisitStop, parts: StopParts): readonly Block[] {
  const { compose, entry, questions, number } = parts;
  const place = entry?.knownAs?.location ?? null;
  const where = place === null ? '' : `   ${onPaper(place, 80)}`;
  const head: Span[] = [{ text: `${number}. ${onPaper(stop.printer, 60)}`, weight: 'bold' }, { text: where }];
  return together([
    compose.text(head, { size: 11, lead: 'box', above: 9, keep: true, right: costWords(stop) }),
    ...aboutBlocks(stop, parts),
    ...stepBlocks(compose, stop.tasks ?? []),
    ...questionBlocks(compose, questions, INDENT),
    compose.toFill('Found and done:', INDENT),
  ]);
}

/** One after the other on one page, where one page holds them. */
function together(blocks: readonly Block[]): readonly Block[] {
  return blocks.map((block, index) => (index < blocks.length - 1 ? { ...block, keep: true } : block));
}

function costWords({ minutes, people }: VisitStop): string {
  return `up to ${durationWords(minutes)}${people === null ? '' : `, ${count(people, 'person stopped', 'people stopped')}`}`;
}

function aboutBlocks(stop: VisitStop, { compose, clock, entry }: StopParts): readonly Block[] {
  const look = { indent: INDENT, keep: true };
  const known = identityWords(entry);
  const layer = stop.layer === undefined ? '' : `${stop.layer} (layer ${layerNumber(stop.layer)} of 13): `;
  const hedge = CERTAINTY[stop.certainty ?? 'sure'];
  const since = (stop.since ?? null) === null ? '' : ` Since ${clock.at(stop.since ?? '')}.`;
  const also = (stop.alsoFor ?? []).length === 0 ? '' : ` The same work helps ${namesWords(stop.alsoFor ?? [], 20)}.`;
  const unclear = entry?.why.silent === null;
  const wrong: Span[] = unclear
    ? [
        { text: 'Not known from here whether it prints. ', weight: 'bold' },
        { text: `Find out first. Best guess: ${onPaper(stop.summary ?? '', 300)}` },
      ]
    : [{ text: layer, weight: 'bold' }, { text: `${hedge}${onPaper(stop.summary ?? '', 300)}${since}${also}` }];
  return [
    ...(known === '' ? [] : [compose.text(known, { ...look, size: 9 })]),
    compose.text(wrong, look),
    ...(stop.afterPrevious === true
      ? [compose.text('From the desk, but only once the stop above is done: before that it would stop again.', look)]
      : []),
  ];
}

/** "Model 21, serial SN-0021, 192.0.2.21": what to look for on a plate. */
export function identityWords(entry: SnapshotPrinter | undefined): string {
  if (entry === undefined) return '';
  const { model = null, serial = null } = entry.knownAs ?? {};
  return [model, serial === null ? null : `serial ${serial}`, entry.why.printer.address]
    .filter((part) => part !== null && part !== '')
    .map((part) => onPaper(part ?? '', 60))
    .join(', ');
}

/** Each caution once, before the first step that it belongs to. */
function stepBlocks(compose: Composer, tasks: readonly NextStep[]): readonly Block[] {
  const said = new Set<string>();
  return tasks.flatMap(({ step, minutes, cautions }) => {
    const fresh = cautions.filter((caution) => !said.has(caution));
    for (const caution of fresh) said.add(caution);
    return [
      ...fresh.map((caution) => compose.care(onPaper(caution, 400), INDENT)),
      compose.text(onPaper(step, 400), { indent: INDENT, lead: 'box', right: `${minutes} min`, above: 1.5 }),
    ];
  });
}

/** Boxes to tick where the answers are known, and room to write. */
export function questionBlocks(
  compose: Composer,
  questions: readonly VisitQuestion[],
  indent: number,
): readonly Block[] {
  return questions.flatMap(({ ask, answers }) => {
    const words = answers.map((answer) => onPaper(answer, 40));
    if (words.length === 0 && ask.length <= 70) return [compose.toFill(`${onPaper(ask, 70)}:`, indent)];
    const asked = compose.text(onPaper(ask, 300), { indent, above: 3, keep: true });
    return [asked, words.length === 0 ? compose.toFill('', indent) : compose.choices(words, indent)];
  });
}
