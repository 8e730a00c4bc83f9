/** What many outcomes come to: confusion by layer and by cause, time, and the targets. */
import { LAYERS } from '../../src/model/layers.js';
import type { Outcome } from './outcome.js';

export interface Figures {
  readonly scenarios: number;
  readonly layerRight: number;
  readonly causeRight: number;
  readonly falseAllClears: readonly string[];
  readonly healthyAccused: readonly string[];
  /** Layer and cause right, and something else not as expected: what stands beside the verdict, or the exit code. */
  readonly besideWrong: readonly string[];
}

const named = (outcomes: readonly Outcome[], which: (outcome: Outcome) => boolean): string[] =>
  outcomes.filter(which).map(({ scenario }) => scenario.name);

export function figuresOf(outcomes: readonly Outcome[]): Figures {
  return {
    scenarios: outcomes.length,
    layerRight: outcomes.filter((o) => o.layerRight).length,
    causeRight: outcomes.filter((o) => o.causeRight).length,
    falseAllClears: named(outcomes, (o) => o.falseAllClear),
    healthyAccused: named(outcomes, (o) => o.healthyAccused),
    besideWrong: named(outcomes, (o) => o.causeRight && o.wrong.length > 0),
  };
}

const CAUSE_TARGET = 0.98;

/** The targets that were missed, in words; empty when all were met. */
export function missedTargets(figures: Figures): string[] {
  const { scenarios, layerRight, causeRight, falseAllClears, healthyAccused, besideWrong } = figures;
  return [
    ...(layerRight < scenarios ? [`layer right in ${layerRight} of ${scenarios}, all wanted`] : []),
    ...(causeRight < CAUSE_TARGET * scenarios ? [`cause right in ${causeRight} of ${scenarios}, 98 % wanted`] : []),
    ...(falseAllClears.length > 0 ? [`false all-clear: ${falseAllClears.join(', ')}`] : []),
    ...(healthyAccused.length > 0 ? [`healthy accused: ${healthyAccused.join(', ')}`] : []),
    ...(besideWrong.length > 0 ? [`said something else beside the verdict: ${besideWrong.join(', ')}`] : []),
  ];
}

const count = <T>(values: readonly T[]): Map<T, number> => {
  const counts = new Map<T, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return counts;
};

const given = ({ why }: Outcome): string => why?.verdict.layer ?? 'none';

/** Rows: the layer that is at fault. Columns: the layer that was blamed. Layers without a scenario are left out. */
export function layerTable(outcomes: readonly Outcome[]): string[] {
  const columns = [...LAYERS, 'none'].filter((layer) => outcomes.some((o) => given(o) === layer));
  const rows = LAYERS.filter((layer) => outcomes.some((o) => o.scenario.expect.layer === layer));
  const head = `${'is \\ said'.padEnd(12)}${columns.map((layer) => layer.slice(0, 6).padStart(7)).join('')}`;
  return [
    head,
    ...rows.map((layer) => {
      const counts = count(outcomes.filter((o) => o.scenario.expect.layer === layer).map(given));
      return layer.padEnd(12) + columns.map((column) => String(counts.get(column) ?? '·').padStart(7)).join('');
    }),
  ];
}

/** One line a cause: how often it is at fault, how often it was named then, and what was named instead. */
export function causeTable(outcomes: readonly Outcome[]): string[] {
  const causes = [...count(outcomes.map(({ scenario }) => `${scenario.expect.layer}/${scenario.expect.cause}`)).keys()];
  return causes.sort(byLayer).map((cause) => {
    const mine = outcomes.filter(({ scenario }) => `${scenario.expect.layer}/${scenario.expect.cause}` === cause);
    const said = count(mine.map(({ why }) => (why ? `${why.verdict.layer}/${why.verdict.cause}` : 'no verdict')));
    const instead = [...said].filter(([other]) => other !== cause).map(([other, times]) => `${times} × ${other}`);
    const right = `${said.get(cause) ?? 0} of ${mine.length}`;
    return `${cause.padEnd(38)}${right.padStart(9)}${instead.length > 0 ? `   instead: ${instead.join(', ')}` : ''}`;
  });
}

function byLayer(a: string, b: string): number {
  const place = (id: string): number => LAYERS.findIndex((layer) => id.startsWith(`${layer}/`));
  return place(a) - place(b) || a.localeCompare(b);
}

/** Median, 95th percentile and longest of some times in milliseconds. */
export function timeLine(what: string, outcomes: readonly Outcome[]): string[] {
  const times = outcomes.map(({ ms }) => ms).sort((a, b) => a - b);
  if (times.length === 0) return [];
  const at = (share: number): string => `${Math.round(times[Math.ceil(share * times.length) - 1] ?? 0)} ms`;
  return [
    `${what.padEnd(44)} n ${String(times.length).padStart(3)}   median ${at(0.5)}   p95 ${at(0.95)}   max ${at(1)}`,
  ];
}
