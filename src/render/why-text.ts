import { styleText } from 'node:util';
import type { LayerState, NextStep } from '../model/layers.js';
import type { Blame, Check, WhyDocument } from '../model/why.js';
import { forTerminal } from './escape.js';
import { describeEvidence } from './evidence-words.js';
import {
  behindVerdict,
  hedge,
  isAllWell,
  layerNumber,
  type Run,
  runsOf,
  STATE_MARKS,
  STATE_WORDS,
} from './layer-words.js';
import { pad, wrap } from './wrap.js';

export interface TextOptions {
  readonly color: boolean;
  /** Width of the terminal in cells; lines are never wider, nor wider than 100, which is hard to read. */
  readonly columns: number;
  /** Every layer with its sentence, every evidence record. */
  readonly verbose?: boolean;
}

/** Records shown before `--verbose` is needed. */
const EVIDENCE_SHOWN = 6;
const NARROWEST = 40;
const WIDEST = 100;

type Style = 'fault' | 'warning' | 'clear' | 'unknown' | 'faint' | 'strong';
const STYLES: Readonly<Record<Style, Parameters<typeof styleText>[0]>> = {
  fault: ['bold', 'magentaBright'],
  warning: 'yellow',
  clear: 'cyan',
  unknown: 'blueBright',
  faint: 'dim',
  strong: 'bold',
};
const STATE_STYLES: Readonly<Record<LayerState, Style>> = {
  clear: 'clear',
  warning: 'warning',
  fault: 'fault',
  unknown: 'unknown',
  'not-reached': 'faint',
};

/** Writes paragraphs for one terminal. Text is wrapped before it is coloured, so colour never moves a line break. */
interface Pen {
  readonly options: TextOptions;
  readonly columns: number;
  readonly lines: string[];
}

/**
 * The answer to "why does it not print" for a terminal: the verdict first, then the thirteen layers, the evidence
 * behind the verdict, the next step, and whatever else is worth knowing. Where nothing is decided, what would tell comes
 * before the steps of a mere guess. Ends in a line break.
 */
export function renderWhy(doc: WhyDocument, options: TextOptions): string {
  const columns = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(options.columns) || 80));
  const pen: Pen = { options, columns, lines: [] };
  writeVerdict(pen, doc);
  writeLayers(pen, doc);
  writeEvidence(pen, doc);
  const undecided = doc.silent === null && doc.checks.length > 0;
  if (undecided) writeOpen(pen, doc);
  writeNext(pen, doc.verdict.next, undecided ? `If it is ${doc.verdict.cause}` : null);
  writeBlames(pen, 'Also wrong', doc.others, 'fault');
  writeBlames(pen, 'Stops nothing, but worth knowing', doc.warnings, 'warning');
  if (!undecided) writeOpen(pen, doc);
  return `${pen.lines.join('\n')}\n`;
}

function styled(pen: Pen, style: Style | undefined, text: string): string {
  if (style === undefined || !pen.options.color || text === '') return text;
  return styleText(STYLES[style], text, { validateStream: false });
}

function paragraph(pen: Pen, text: string, first: string, rest: string, style?: Style): void {
  for (const line of wrap(text, { columns: pen.columns, first, rest })) pen.lines.push(styled(pen, style, line));
}

/** A paragraph whose first cells are coloured by themselves. */
function marked(pen: Pen, lead: string, text: string, style: Style): void {
  const rest = ' '.repeat(pad(lead, 0).length);
  wrap(text, { columns: pen.columns, first: lead, rest }).forEach((line, index) => {
    const head = index === 0 ? styled(pen, style, line.slice(0, lead.length)) : line.slice(0, lead.length);
    pen.lines.push(`${head}${line.slice(lead.length)}`);
  });
}

function heading(pen: Pen, text: string): void {
  pen.lines.push('', styled(pen, 'strong', text));
}

const CERTAINTY_WORDS = {
  sure: 'This is sure.',
  likely: 'This is likely, not sure.',
  possible: 'This is a best guess.',
} as const;

function writeVerdict(pen: Pen, doc: WhyDocument): void {
  const name = forTerminal(doc.target, 80);
  const stand =
    doc.silent === true
      ? `${name} is silent.`
      : doc.silent === false
        ? `${name} can print.`
        : `Whether ${name} can print is not known.`;
  const style = doc.silent === true ? 'fault' : doc.silent === false ? 'clear' : 'unknown';
  paragraph(pen, `${stand} ${hedge(doc)}${forTerminal(doc.verdict.summary)}`, '', '', style);
  const { layer, cause, certainty, component } = doc.verdict;
  const part = component === undefined ? '' : `, ${forTerminal(component, 80)}`;
  const where = isAllWell(doc) ? '' : `Layer ${layerNumber(layer)} of 13, ${layer}: ${forTerminal(cause)}${part}. `;
  paragraph(pen, `${where}${CERTAINTY_WORDS[certainty]}`, '', '');
  const { model, address, serial } = doc.printer;
  const about = [model, address, serial === null ? null : `serial ${serial}`];
  const known = about.filter((part_) => part_ !== null).map((part_) => forTerminal(part_, 80));
  if (known.length > 0) paragraph(pen, known.join(', '), '', '', 'faint');
}

function writeLayers(pen: Pen, doc: WhyDocument): void {
  heading(pen, 'Layers, from wall socket to page');
  const runs = pen.options.verbose
    ? doc.layers.map((entry) => ({ state: entry.state, layers: [entry] }))
    : runsOf(doc.layers);
  for (const run of runs) marked(pen, runLead(run), runWords(pen, run), STATE_STYLES[run.state]);
}

function runLead(run: Run): string {
  return `  ${STATE_MARKS[run.state]} ${pad(STATE_WORDS[run.state], 12)}`;
}

function runWords(pen: Pen, run: Run): string {
  const [only] = run.layers;
  if (run.layers.length > 1 || only === undefined) return run.layers.map((entry) => entry.layer).join(', ');
  if (pen.options.verbose) return `${only.layer}: ${forTerminal(only.summary)}`;
  if (only.cause === undefined) return only.layer;
  const part = only.component === undefined ? '' : ` (${forTerminal(only.component, 80)})`;
  return `${only.layer}: ${forTerminal(only.cause, 80)}${part}`;
}

function writeEvidence(pen: Pen, doc: WhyDocument): void {
  const wanted = new Set(behindVerdict(doc));
  const records = pen.options.verbose ? doc.evidence : doc.evidence.filter((record) => wanted.has(record.id));
  if (records.length === 0) return;
  heading(pen, pen.options.verbose ? 'All evidence (* behind the verdict)' : 'Evidence behind this');
  const shown = pen.options.verbose ? records : records.slice(0, EVIDENCE_SHOWN);
  const cells = Math.max(...shown.map((record) => record.id.length));
  for (const record of shown) {
    const star = pen.options.verbose && wanted.has(record.id) ? '*' : ' ';
    const text = forTerminal(describeEvidence(record), pen.options.verbose ? 400 : 240);
    marked(pen, ` ${star}${pad(forTerminal(record.id, 12), cells)}  `, text, 'faint');
  }
  if (shown.length < records.length) {
    paragraph(pen, `and ${records.length - shown.length} more: --verbose`, '  ', '  ', 'faint');
  }
}

function writeNext(pen: Pen, next: readonly NextStep[], title: string | null): void {
  if (next.length === 0) return;
  heading(pen, title ?? (next.length === 1 ? 'Next step' : 'Next steps'));
  const digits = Math.max(...next.map((step) => String(step.minutes).length));
  next.forEach((step, index) => {
    const lead = `  ${next.length === 1 ? '>' : `${index + 1}.`} ${String(step.minutes).padStart(digits)} min  `;
    marked(pen, lead, forTerminal(step.step), 'strong');
    const indent = ' '.repeat(lead.length);
    for (const caution of step.cautions) {
      marked(pen, `${indent}Care: `, forTerminal(caution), 'warning');
    }
  });
}

function writeBlames(pen: Pen, title: string, blames: readonly Blame[], style: Style): void {
  if (blames.length === 0) return;
  heading(pen, title);
  const mark = style === 'fault' ? STATE_MARKS.fault : STATE_MARKS.warning;
  for (const blame of blames) {
    marked(pen, `  ${mark} `, `${forTerminal(blame.summary)} [${blame.layer}: ${forTerminal(blame.cause, 80)}]`, style);
  }
}

/** What is still open: the suspects, and the checks that would tell them apart. */
function writeOpen(pen: Pen, doc: WhyDocument): void {
  writeSuspects(pen, doc);
  writeChecks(pen, doc.checks);
}

function writeSuspects(pen: Pen, doc: WhyDocument): void {
  if (doc.suspects.length === 0) return;
  heading(pen, 'What it may be');
  for (const suspect of doc.suspects) {
    const percent = suspect.probability < 0.01 ? '<1' : String(Math.round(suspect.probability * 100));
    marked(pen, `  ${percent.padStart(3)} %  `, `${suspect.layer}: ${forTerminal(suspect.cause, 80)}`, 'strong');
  }
}

/** Most checks that are offered at once: a person does one and asks again. */
const CHECKS_SHOWN = 3;

function writeChecks(pen: Pen, checks: readonly Check[]): void {
  if (checks.length === 0) return;
  heading(pen, 'What would tell, best first');
  checks.slice(0, CHECKS_SHOWN).forEach((check, index) => {
    const lead = `  ${index + 1}. ${check.minutes} min${sheetsWords(check.sheets)}  `;
    marked(pen, lead, forTerminal(check.ask), 'strong');
    const [first = '', ...others] = check.outcomes.map((outcome) => forTerminal(outcome, 40));
    // What can be copied stands whole at the front.
    const otherwise = others.length === 0 ? '' : ` (or ${others.join(', ')})`;
    paragraph(pen, `--answer ${forTerminal(check.id, 60)}=${first}${otherwise}`, '     ', '       ', 'faint');
  });
}

function sheetsWords(sheets: number): string {
  if (sheets === 0) return '';
  return sheets === 1 ? ', 1 sheet' : `, ${sheets} sheets`;
}
