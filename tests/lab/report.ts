/** The lab's words: one list of lines from many outcomes. */
import type { Evidence } from '../../src/model/evidence.js';
import { uncovered } from './coverage.js';
import { causeTable, figuresOf, layerTable, timeLine } from './figures.js';
import type { Outcome } from './outcome.js';
import { type LabScenario, needsNamespaces } from './scenario.js';

const percent = (part: number, whole: number): string => `${((100 * part) / Math.max(1, whole)).toFixed(1)} %`;

export function reportOf(outcomes: readonly Outcome[], all: readonly LabScenario[]): string[] {
  const figures = figuresOf(outcomes);
  const n = figures.scenarios;
  return [
    ...misjudged(outcomes),
    'Layer, what is at fault against what was blamed:',
    ...layerTable(outcomes),
    '',
    'Cause, how often it was named when it was at fault:',
    ...causeTable(outcomes),
    '',
    'Causes that no scenario shows:',
    ...uncovered(all),
    '',
    ...times(outcomes),
    '',
    `scenarios ${n} (${kinds(outcomes)})`,
    `right layer ${figures.layerRight} of ${n} (${percent(figures.layerRight, n)}), right cause ${figures.causeRight} of ${n} (${percent(figures.causeRight, n)})`,
    `false all-clears ${figures.falseAllClears.length}, healthy accused ${figures.healthyAccused.length}, other differences ${figures.besideWrong.length}`,
  ];
}

function kinds(outcomes: readonly Outcome[]): string {
  const words = {
    single: 'one fault',
    double: 'two faults',
    healthy: 'healthy',
    contradiction: 'contradicting sources',
  };
  return Object.entries(words)
    .map(([kind, word]) => `${word} ${outcomes.filter(({ scenario }) => scenario.kind === kind).length}`)
    .join(', ');
}

function times(outcomes: readonly Outcome[]): string[] {
  const local = outcomes.filter(({ scenario }) => !needsNamespaces(scenario));
  const apart = outcomes.filter(({ scenario }) => needsNamespaces(scenario));
  const well = ({ scenario }: Outcome): boolean => scenario.expect.cause === 'nothing-wrong-found';
  const dead = apart.filter(({ why }) => why?.verdict.cause === 'no-sign-of-life');
  return [
    'Time for a verdict:',
    ...timeLine('loopback', local),
    ...timeLine('loopback, nothing wrong', local.filter(well)),
    ...timeLine('namespaces', apart),
    ...timeLine('namespaces, nothing wrong', apart.filter(well)),
    ...timeLine('namespaces, silent (one answer may take 1 s × 2)', dead),
  ];
}

function misjudged(outcomes: readonly Outcome[]): string[] {
  return outcomes
    .filter(({ wrong }) => wrong.length > 0)
    .flatMap((outcome) => [
      `MISJUDGED ${outcome.scenario.name}: ${outcome.wrong.join('; ')}`,
      ...misledBy(outcome).map((line) => `    ${line}`),
      ...(outcome.scenario.because ? [`    expected because: ${outcome.scenario.because}`] : []),
      '',
    ]);
}

/** The evidence that the verdict's layer named. */
function misledBy({ why }: Outcome): string[] {
  const ids = new Set(why?.layers.find(({ layer }) => layer === why.verdict.layer)?.evidence ?? []);
  return (why?.evidence ?? []).filter(({ id }) => ids.has(id)).map(shown);
}

function shown({ id, source, what, about, subject, outcome, value }: Evidence): string {
  const plain = typeof value === 'string' ? ` ${value}` : '';
  return `${id} ${source} ${what} (${about} ${subject}): ${outcome}${plain}`;
}
