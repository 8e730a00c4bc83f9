/** Runs the cases of `npm run lab -- fuzz` in a thread of its own, and tells before each which one it is at. */
import type { Buffer } from 'node:buffer';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { parentPort, workerData } from 'node:worker_threads';
import { numbers } from '../fuzz/mutate.js';
import { mustBeUnpolluted } from '../fuzz/prototypes.js';
import type { FuzzTarget } from '../fuzz/target.js';
import { TARGETS } from '../fuzz/targets.js';
import type { FuzzReport, FuzzWork, Slowest } from './fuzz.js';

const { target: name, replies, seed: first, progress } = workerData as FuzzWork;
const at = new Int32Array(progress);
setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

/** Octets in use once everything that can go is gone. */
function inUse(): number {
  collect();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
}

function tell(report: FuzzReport): void {
  parentPort?.postMessage(report);
}

/** So many of the slowest cases are run again: what only waited for the machine is quick then. */
const MOST_SLOW = 8;

function keepSlowest(slowest: Slowest[], one: Slowest): void {
  if (slowest.length >= MOST_SLOW && one.ms <= (slowest.at(-1)?.ms ?? 0)) return;
  slowest.push(one);
  slowest.sort((a, b) => b.ms - a.ms);
  slowest.length = Math.min(slowest.length, MOST_SLOW);
}

/** The same case again, twice: the least of three times. */
async function timedAgain(target: FuzzTarget, { seed, ms }: Slowest): Promise<Slowest> {
  let [least, octets] = [ms, 0];
  for (let again = 0; again < 2; again++) {
    const one = { draw: numbers(seed), served: [] as Buffer[] };
    Atomics.store(at, 0, seed - first + again);
    const started = performance.now();
    await Promise.resolve(target.run(one)).catch(() => undefined);
    least = Math.min(least, performance.now() - started);
    octets = one.served.reduce((sum, { length }) => sum + length, 0);
  }
  return { seed, ms: least, octets };
}

async function runCases(): Promise<void> {
  const target = TARGETS.find((each) => each.name === name);
  if (target === undefined) throw new RangeError(`no target ${name}`);
  let served = 0;
  let early = 0;
  const failures: { seed: number; error: string; replies: string[] }[] = [];
  const slowest: Slowest[] = [];
  for (let index = 0; served < replies; index++) {
    Atomics.store(at, 0, index);
    const one = { draw: numbers(first + index), served: [] as Buffer[] };
    const started = performance.now();
    try {
      await target.run(one);
      mustBeUnpolluted();
    } catch (error) {
      failures.push({
        seed: first + index,
        error: String(error instanceof Error ? error.stack : error).slice(0, 1200),
        replies: one.served.slice(0, 8).map((octets) => octets.toString('hex')),
      });
      if (failures.length >= 20) break;
    }
    keepSlowest(slowest, { seed: first + index, ms: performance.now() - started, octets: 0 });
    served += Math.max(1, one.served.length);
    Atomics.store(at, 1, served);
    if (early === 0 && served > replies / 4) early = inUse();
  }
  const cases = Atomics.load(at, 0) + 1;
  const again: Slowest[] = [];
  if (failures.length === 0) for (const one of slowest) again.push(await timedAgain(target, one));
  again.sort((a, b) => b.ms - a.ms);
  tell({ served, cases, failures, grown: inUse() - early, slowest: again[0] });
}

await runCases();
