import { beforeAll, describe, expect, test } from 'vitest';
import { uncovered } from '../lab/coverage.js';
import { figuresOf, missedTargets } from '../lab/figures.js';
import type { Outcome } from '../lab/outcome.js';
import { runPlanner } from '../lab/planner.js';
import { runAllInNamespaces, runAllOnLoopback } from '../lab/run.js';
import { loadScenarios, needsNamespaces } from '../lab/scenario.js';
import { describeWithPeers } from './peer.js';

const scenarios = loadScenarios();
/** Most of a run is waiting for what never comes. */
const PATIENCE = 240_000;

function targets(run: () => Promise<Outcome[]>): void {
  let outcomes: readonly Outcome[] = [];
  beforeAll(async () => {
    outcomes = await run();
  }, PATIENCE);

  test('every scenario is judged as expected', () => {
    const wrong = outcomes.filter((o) => o.wrong.length > 0).map((o) => `${o.scenario.name}: ${o.wrong.join('; ')}`);
    expect(wrong).toEqual([]);
    expect(missedTargets(figuresOf(outcomes))).toEqual([]);
  });

  test('no output that is stopped was called well, nobody healthy was accused', () => {
    expect(outcomes.length).toBeGreaterThan(0);
    expect(figuresOf(outcomes)).toMatchObject({ falseAllClears: [], healthyAccused: [] });
  });
}

describe('the scenarios', () => {
  const of = (kind: string): number => scenarios.filter((scenario) => scenario.kind === kind).length;

  test('are as many of each kind as the proof needs', () => {
    expect(of('double')).toBeGreaterThanOrEqual(40);
    expect(of('healthy')).toBeGreaterThanOrEqual(25);
    expect(of('contradiction')).toBeGreaterThanOrEqual(15);
  });

  test('show every cause, or say why not', () => {
    expect(uncovered(scenarios).filter((line) => line.includes('no reason given'))).toEqual([]);
  });
});

describe('the lab on loopback', () => {
  targets(() => runAllOnLoopback(scenarios.filter((scenario) => !needsNamespaces(scenario))));
});

describeWithPeers('the lab in network namespaces', ['namespaces', 'ip', 'nft'], () => {
  targets(() => runAllInNamespaces(scenarios.filter(needsNamespaces)));
});

test('the planner needs at least 30 % fewer minutes than asking in layer order', () => {
  const said: string[] = [];
  expect(
    runPlanner(20260131, 400, (line) => said.push(line)),
    said.join('\n'),
  ).toBe(true);
});
