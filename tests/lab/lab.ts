/**
 * The proof of the ladder: `npm run lab`. Scenarios are asked through the whole program on real sockets, what is said is
 * compared with what should be said. `--only NAME` takes the scenarios whose name holds NAME, `--repeat N` checks that N
 * runs agree, `planner` simulates the choice of the next check, `crash-loop` the search for the job that brings a print service down, `fuzz` mutates replies by the million (`--count N`).
 * Ends with 1 when a target is missed.
 */
import { parseArgs } from 'node:util';
import { findProgram, mayMakeNamespaces } from '../peers/peer.js';
import { runCrashLoop } from './crash-loop.js';
import { figuresOf, missedTargets } from './figures.js';
import { run as runFuzz } from './fuzz.js';
import { type Outcome, sameWords } from './outcome.js';
import { runPlanner } from './planner.js';
import { reportOf } from './report.js';
import { runAllInNamespaces, runAllOnLoopback } from './run.js';
import { type LabScenario, loadScenarios, needsNamespaces } from './scenario.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    only: { type: 'string', default: '' },
    repeat: { type: 'string', default: '1' },
    seed: { type: 'string', default: '20260131' },
    faults: { type: 'string', default: '10000' },
    count: { type: 'string', default: '1100000' },
  },
});

const say = (line: string): boolean => process.stdout.write(`${line}\n`);

async function runScenarios(): Promise<boolean> {
  const all = loadScenarios();
  const chosen = all.filter(({ name }) => name.includes(values.only));
  const apart = chosen.filter(needsNamespaces);
  const able = mayMakeNamespaces() && findProgram('nft') !== null;
  if (!able && apart.length > 0) {
    say(`not run here, they need root, ip and nft: ${apart.map(({ name }) => name).join(', ')}`);
    say(`${apart.length} scenarios skipped`);
  }
  const runs: Outcome[][] = [];
  for (let run = 1; run <= Number(values.repeat); run++) {
    const outcomes = [
      ...(await runAllOnLoopback(chosen.filter((scenario) => !needsNamespaces(scenario)))),
      ...(able ? await runAllInNamespaces(apart) : []),
    ];
    runs.push(outcomes);
    if (Number(values.repeat) > 1) sayRun(run, outcomes);
  }
  const last = runs.at(-1) ?? [];
  for (const line of reportOf(last, all)) say(line);
  const agree = agreement(runs, chosen);
  const missed = [...missedTargets(figuresOf(last)), ...agree];
  for (const line of missed) say(`MISSED: ${line}`);
  return missed.length === 0;
}

function sayRun(run: number, outcomes: readonly Outcome[]): void {
  say(`run ${run}: ${missedTargets(figuresOf(outcomes)).join('; ') || 'all targets met'}`);
  for (const { scenario, wrong } of outcomes) if (wrong.length > 0) say(`  ${scenario.name}: ${wrong.join('; ')}`);
}

/** Scenarios whose verdict was not the same in all runs. */
function agreement(runs: readonly Outcome[][], chosen: readonly LabScenario[]): string[] {
  if (runs.length < 2) return [];
  const differing = chosen.filter(({ name }) => {
    const said = runs.flatMap((run) => run.filter(({ scenario }) => scenario.name === name).map(sameWords));
    return new Set(said).size > 1;
  });
  say(`${runs.length} runs agree on ${chosen.length - differing.length} of ${chosen.length} scenarios`);
  return differing.map(({ name }) => `${name} was judged differently from run to run`);
}

async function runAsked(): Promise<boolean> {
  const seed = Number(values.seed);
  if (positionals.includes('planner')) return runPlanner(seed, Number(values.faults), say);
  if (positionals.includes('crash-loop')) return runCrashLoop(seed, say);
  if (positionals.includes('fuzz')) return runFuzz({ count: Number(values.count), seed, only: values.only }, say);
  return runScenarios();
}

process.exit((await runAsked()) ? 0 : 1);
