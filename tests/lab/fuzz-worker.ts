/** Runs the cases of `npm run lab -- fuzz` in a thread of its own, and tells before each which one it is at. */
import type { Buffer } from 'node:buffer';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { parentPort, workerData } from 'node:worker_threads';
import { numbers } from '../fuzz/mutate.js';
import { TARGETS } from '../fuzz/targets.js';
import type { FuzzReport, FuzzWork } from './fuzz.js';

const { target: name, replies, seed, progress } = workerData as FuzzWork;
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

async function runCases(): Promise<void> {
  const target = TARGETS.find((each) => each.name === name);
  if (target === undefined) throw new RangeError(`no target ${name}`);
  let served = 0;
  let early = 0;
  const failures: { seed: number; error: string; replies: string[] }[] = [];
  for (let index = 0; served < replies; index++) {
    Atomics.store(at, 0, index);
    const one = { draw: numbers(seed + index), served: [] as Buffer[] };
    try {
      await target.run(one);
    } catch (error) {
      failures.push({
        seed: seed + index,
        error: String(error),
        replies: one.served.slice(0, 8).map((octets) => octets.toString('hex')),
      });
      if (failures.length >= 20) break;
    }
    served += Math.max(1, one.served.length);
    Atomics.store(at, 1, served);
    if (early === 0 && served > replies / 4) early = inUse();
  }
  tell({ served, cases: Atomics.load(at, 0) + 1, failures, grown: inUse() - early });
}

await runCases();
