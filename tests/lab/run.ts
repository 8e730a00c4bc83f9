/** Runs scenarios, several at a time: on loopback, or in networks of namespaces. */
import { Cell } from './cell.js';
import { runOnLoopback } from './loopback.js';
import { failed, type Outcome } from './outcome.js';
import type { LabScenario } from './scenario.js';

/** Side by side in one process: most of a run is waiting. */
const ON_LOOPBACK = 5;
/** Each is a network with up to four processes. */
const NETWORKS = 3;

type One = (scenario: LabScenario, number: number) => Promise<Outcome>;

/** Takes scenarios from a common list until it is empty. The outcomes come in the order of the list. */
async function work(scenarios: readonly LabScenario[], runners: readonly One[]): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  let next = 0;
  const worker = async (run: One): Promise<void> => {
    for (let number = next++; number < scenarios.length; number = next++) {
      const scenario = scenarios[number];
      if (scenario === undefined) return;
      outcomes[number] = await run(scenario, number).catch((error: unknown) => failed(scenario, String(error)));
    }
  };
  await Promise.all(runners.map(worker));
  return outcomes;
}

/** Addresses 127.36.x: each running scenario has a third octet of its own. */
const SLOTS = 240;

export function runAllOnLoopback(scenarios: readonly LabScenario[]): Promise<Outcome[]> {
  const one: One = (scenario, number) => runOnLoopback(scenario, number % SLOTS);
  return work(scenarios, Array<One>(ON_LOOPBACK).fill(one));
}

/** Networks and processes are gone again when this ends, whatever happened. `SIGINT` ends them too. */
export async function runAllInNamespaces(scenarios: readonly LabScenario[]): Promise<Outcome[]> {
  const cells: Cell[] = [];
  const interrupted = (): never => process.exit(130);
  process.once('SIGINT', interrupted);
  process.once('SIGTERM', interrupted);
  try {
    for (let i = 0; i < Math.min(NETWORKS, scenarios.length); i++) cells.push(new Cell(i));
    return await work(
      scenarios,
      cells.map((cell) => (scenario) => cell.run(scenario)),
    );
  } finally {
    for (const cell of cells) cell.close();
    process.off('SIGINT', interrupted);
    process.off('SIGTERM', interrupted);
  }
}
