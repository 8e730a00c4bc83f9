import { technologyWords } from '../defects/defect.js';
import type { DefectCause, DefectCheck, DefectDocument, RepeatSeries } from '../model/defect.js';
import { candidateSize, costWords, hedgeOf, percentWords, seriesInWords, symptomsInWords } from './defect-words.js';
import { forTerminal } from './escape.js';
import { Pen } from './pen.js';

export interface DefectTextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells. */
  readonly columns: number;
}

const CAUSES_SHOWN = 5;
const CANDIDATES_SHOWN = 5;
const CHECKS_SHOWN = 3;

/** What makes the pages bad, for a terminal: the likeliest cause first, then what to do, then what would tell. */
export function renderDefect(doc: DefectDocument, options: DefectTextOptions): string {
  const pen = new Pen(options.color, options.columns);
  if (doc.symptoms.length === 0) writeWords(pen, doc);
  else writeAnswer(pen, doc);
  writeRepeat(pen, doc);
  writeSaid(pen, 'How the print lies', doc.geometry?.says ?? []);
  writePaper(pen, doc);
  writeSaid(pen, 'Page memory', doc.memory?.says ?? []);
  writeSaid(pen, 'To make it fit', doc.memory?.change ?? []);
  writeSaid(pen, 'What was told and read', doc.signs);
  const said = new Set<string>();
  writeNext(pen, doc.ranked[0], said);
  writeCauses(pen, doc.ranked);
  writeChecks(pen, doc.checks, said);
  writeSaid(pen, 'Note', doc.notes);
  return pen.text();
}

function writeWords(pen: Pen, { words }: DefectDocument): void {
  pen.paragraph(
    'What is wrong with the pages? Say it with --symptom WORD (may repeat), or --ask to be asked.',
    'strong',
  );
  for (const { word, says, technologies } of words) {
    const only = technologies.length < 4 ? ` (${technologies.join(', ')})` : '';
    pen.marked(`  ${word.padEnd(18)} `, `${says}${only}`, 'strong');
  }
}

function writeAnswer(pen: Pen, doc: DefectDocument): void {
  const [first] = doc.ranked;
  const whose = doc.target === null ? technologyWords(doc.technology) : forTerminal(doc.target, 80);
  if (first === undefined) {
    pen.paragraph(`${symptomsInWords(doc)}: nothing in the tables makes ${whose} do that.`, 'unknown');
    return;
  }
  const sentence = `${hedgeOf(first)} the ${forTerminal(first.part, 80)} (${percentWords(first.probability)}): ${first.summary}`;
  pen.paragraph(`${symptomsInWords(doc)}, ${whose}.`);
  pen.paragraph(sentence, 'fault');
  for (const reason of first.because) pen.paragraph(forTerminal(reason), 'faint', '  - ', '    ');
}

function writeRepeat(pen: Pen, { repeat }: DefectDocument): void {
  if (repeat === null) return;
  pen.heading('Marks');
  writeSeries(pen, repeat);
  if (repeat.second !== null) {
    pen.paragraph('A second series lies between them:');
    writeSeries(pen, repeat.second);
  }
  if (repeat.straysMm.length > 0) {
    pen.paragraph(`Belonging to none: ${repeat.straysMm.map((mm) => mm.toFixed(1)).join(', ')} mm`, 'faint', '  ');
  }
}

function writeSeries(pen: Pen, series: RepeatSeries): void {
  pen.paragraph(`They return ${seriesInWords(series)}.`, undefined, '  ');
  pen.paragraph(forTerminal(series.because), series.decidable ? 'clear' : 'unknown', '  ');
  for (const candidate of series.candidates.slice(0, CANDIDATES_SHOWN)) {
    const { part, probability } = candidate;
    const line = `${forTerminal(part, 60)}, ${candidateSize(candidate)}`;
    pen.marked(`  ${percentWords(probability).padStart(5)}  `, line, 'strong');
  }
}

function writePaper(pen: Pen, { paper }: DefectDocument): void {
  if (paper === null) return;
  pen.heading('Paper');
  const pounds = Object.entries(paper.pounds).map(([grade, lb]) => `${lb} lb ${grade}`);
  pen.paragraph(`${paper.gsm} g/m² is ${pounds.join(', ')}.`, undefined, '  ');
  for (const advice of paper.advice) pen.paragraph(advice, undefined, '  ');
}

function writeSaid(pen: Pen, title: string, says: readonly string[]): void {
  if (says.length === 0) return;
  pen.heading(title);
  for (const one of says) pen.paragraph(forTerminal(one), undefined, '  - ', '    ');
}

function writeNext(pen: Pen, cause: DefectCause | undefined, said: Set<string>): void {
  if (cause === undefined) return;
  pen.heading(cause.next.length === 1 ? 'Next step' : 'Next steps');
  cause.next.forEach(({ step, minutes, cautions }, at) => {
    const lead = `  ${at + 1}. ${String(minutes).padStart(2)} min  `;
    pen.marked(lead, forTerminal(step), 'strong');
    writeCare(pen, cautions, ' '.repeat(lead.length), said);
  });
}

/** Each caution once, at the first step that it belongs to: said five times it is read no time. */
function writeCare(pen: Pen, cautions: readonly string[], indent: string, said: Set<string>): void {
  for (const caution of cautions.filter((one) => !said.has(one))) {
    said.add(caution);
    pen.marked(`${indent}Care: `, forTerminal(caution), 'warning');
  }
}

function writeCauses(pen: Pen, ranked: readonly DefectCause[]): void {
  if (ranked.length < 2) return;
  pen.heading('What it may be');
  for (const { part, probability, summary } of ranked.slice(0, CAUSES_SHOWN)) {
    pen.marked(`  ${percentWords(probability).padStart(5)}  `, `${forTerminal(part, 60)}: ${summary}`, 'strong');
  }
}

function writeChecks(pen: Pen, checks: readonly DefectCheck[], said: Set<string>): void {
  if (checks.length === 0) return;
  pen.heading('What would tell, best first');
  checks.slice(0, CHECKS_SHOWN).forEach((check, at) => {
    const lead = `  ${at + 1}. ${costWords(check)}  `;
    pen.marked(lead, check.ask, 'strong');
    writeCare(pen, check.cautions, '     ', said);
    pen.paragraph(`--answer ${check.id}=${check.outcomes.join(' or ')}`, 'faint', '     ', '       ');
  });
}
