import { solveRepeat } from '../../src/defects/repeat.js';
import { type Conditions, inventedModel, readMarks, seeded } from './simulated-marks.js';

export interface Score {
  readonly name: string;
  readonly readings: number;
  readonly decided: number;
  readonly right: number;
  readonly text: string;
}

const PAGE: Conditions = { error: 0.5, missed: 0.2, doubled: 0.1, pageMm: 297 };

type Case = readonly [name: string, conditions: Conditions, kind: 'model' | 'no model' | 'stranger' | 'none'];

const CASES: readonly Case[] = [
  ['one part of a model, A4, a fifth missed, a tenth doubled', PAGE, 'model'],
  ['the same, a third missed', { ...PAGE, missed: 0.35 }, 'model'],
  ['the same, none missed', { ...PAGE, missed: 0, doubled: 0 }, 'model'],
  ['A3 fed short edge first', { ...PAGE, pageMm: 420 }, 'model'],
  ['no model: the period', PAGE, 'no model'],
  ['a part that the model file does not list', PAGE, 'stranger'],
  ['spots without order', PAGE, 'none'],
];

/** Names of parts or periods against the truth, for each set of conditions. */
export function tally(many: number): readonly Score[] {
  return CASES.map(([name, conditions, kind], at) => score(name, conditions, kind, many, 1000 + at));
}

/** One reading: undefined when nothing was called decided, else whether it was right. */
function judged(conditions: Conditions, kind: Case[2], random: () => number): boolean | undefined {
  const model = inventedModel(random);
  const truth = model[Math.floor(random() * model.length)] ?? { part: '', circumferenceMm: 0 };
  const spots = () => Array.from({ length: 3 + Math.floor(random() * 6) }, () => random() * conditions.pageMm);
  const marks = kind === 'none' ? spots() : readMarks(truth.circumferenceMm, random, conditions);
  const others = kind === 'stranger' ? model.filter((part) => part !== truth) : model;
  const series = solveRepeat({ marks, error: conditions.error, parts: kind === 'no model' ? [] : others });
  const [first] = series;
  if (series.length !== 1 || first?.decided !== true) return undefined;
  if (kind !== 'no model') return first.parts[0]?.part === truth;
  return Math.abs((first.comb?.freePeriod ?? 0) - truth.circumferenceMm) <= 4 * (first.comb?.sigma ?? 0);
}

function score(name: string, conditions: Conditions, kind: Case[2], many: number, seed: number): Score {
  const random = seeded(seed);
  const calls = Array.from({ length: many }, () => judged(conditions, kind, random));
  const decided = calls.filter((call) => call !== undefined).length;
  const right = calls.filter((call) => call === true).length;
  const share = decided === 0 ? '-' : `${((100 * right) / decided).toFixed(2)} %`;
  const called = `${many} readings, ${decided} called decided (${((100 * decided) / many).toFixed(1)} %)`;
  const verdict = kind === 'stranger' || kind === 'none' ? 'each of them wrongly' : `${right} of them right (${share})`;
  const text = `${name}: ${called}, ${verdict}`;
  return { name, readings: many, decided, right, text };
}
