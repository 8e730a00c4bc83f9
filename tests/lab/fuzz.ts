/**
 * A million and more mutated replies against every decoder and probe: `npm run lab -- fuzz`, or
 * `npx tsx tests/lab/fuzz.ts [--count N] [--seed N] [--only TARGET]`. The seed is printed; with the same seed and
 * target the cases are the same. Nothing may throw past a probe, hang, or keep memory. A case that fails is printed
 * with its own seed; asked for one reply with that seed, the run shows what it served.
 */
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';
import { TARGETS } from '../fuzz/targets.js';

export interface FuzzWork {
  readonly target: string;
  readonly replies: number;
  readonly seed: number;
  /** Two whole numbers: the case that is under way, and the replies served so far. */
  readonly progress: SharedArrayBuffer;
}

/** One case by its seed, the milliseconds it took, and the octets it served. */
export interface Slowest {
  readonly seed: number;
  readonly ms: number;
  readonly octets: number;
}

export interface FuzzReport {
  readonly served: number;
  readonly cases: number;
  readonly failures: readonly { readonly seed: number; readonly error: string; readonly replies: readonly string[] }[];
  /** Octets in use after a full collection, at the end against a quarter of the way. */
  readonly grown: number;
  /** Undefined when no case was run again. */
  readonly slowest: Slowest | undefined;
}

export interface FuzzOptions {
  readonly count: number;
  readonly seed: number;
  readonly only: string;
}

/** A case has to end within its probe's limit, three seconds; a slow and busy machine gets ten times that. */
const MOST_MS = 30_000;
/** What a table of caches may take that fills up once. */
const MOST_GROWN = 16 * 1024 * 1024;
const LOOK_MS = 250;

interface Ended extends FuzzReport {
  readonly hung: boolean;
  readonly crash: string | undefined;
  readonly ms: number;
  readonly peakRss: number;
}

/** A thread does not inherit the loader of this one, so it registers its own first. */
const BOOTSTRAP = `import(${JSON.stringify(import.meta.resolve('tsx/esm/api'))}).then(({ register }) => {
  register();
  return import(${JSON.stringify(new URL('./fuzz-worker.ts', import.meta.url).href)});
});`;

/** One target in a thread, watched from outside: an endless loop can only be seen from there. */
function runTarget(work: FuzzWork): Promise<Ended> {
  const at = new Int32Array(work.progress);
  const started = performance.now();
  const worker = new Worker(BOOTSTRAP, {
    eval: true,
    workerData: work,
    execArgv: [],
    resourceLimits: { maxOldGenerationSizeMb: 512 },
  });
  return new Promise((resolve) => {
    let report: FuzzReport | undefined;
    let crash: string | undefined;
    let hung = false;
    let peakRss = 0;
    let [last, looks] = [-1, 0];
    const watch = setInterval(() => {
      peakRss = Math.max(peakRss, process.memoryUsage.rss());
      const now = Atomics.load(at, 0);
      // Looks are counted, not time: a machine that was halted for a while is no endless loop.
      looks = now === last ? looks + 1 : 0;
      last = now;
      if (looks * LOOK_MS > MOST_MS) {
        hung = true;
        void worker.terminate();
      }
    }, LOOK_MS);
    worker.on('message', (message: FuzzReport) => {
      report = message;
      void worker.terminate();
    });
    worker.on('error', (error) => {
      crash = String(error instanceof Error ? error.stack : error);
    });
    worker.on('exit', () => {
      clearInterval(watch);
      const served = Atomics.load(at, 1);
      const partial = { served, cases: Atomics.load(at, 0) + 1, failures: [], grown: 0, slowest: undefined };
      resolve({ ...(report ?? partial), hung, crash, ms: performance.now() - started, peakRss });
    });
  });
}

function verdictOf(name: string, ended: Ended, seed: number): readonly string[] {
  return [
    ...ended.failures.map(
      ({ seed: own, error }) => `seed ${own}: ${error} (again: --only ${name} --seed ${own} --count 1)`,
    ),
    ...(ended.hung ? [`seed ${seed + ended.cases - 1}: no end within ${MOST_MS} ms`] : []),
    ...(ended.crash === undefined ? [] : [`seed ${seed + ended.cases - 1}, or one shortly before it: ${ended.crash}`]),
    ...(ended.grown > MOST_GROWN ? [`memory in use grew by ${megabytes(ended.grown)}`] : []),
  ];
}

const megabytes = (octets: number): string => `${(octets / 1024 / 1024).toFixed(1)} MiB`;

const worst = ({ slowest }: Ended): string =>
  slowest === undefined
    ? ''
    : `, slowest ${slowest.ms.toFixed(1)} ms for ${slowest.octets} octets (seed ${slowest.seed})`;

/** Runs all targets, or the one of that name. True when nothing failed. */
export async function run(options: FuzzOptions, say: (line: string) => void): Promise<boolean> {
  const { count, seed, only } = options;
  const chosen = TARGETS.filter(({ name }) => only === '' || name === only);
  if (chosen.length === 0) throw new RangeError(`no target ${only}: ${TARGETS.map(({ name }) => name).join(', ')}`);
  const whole = chosen.reduce((sum, { share }) => sum + share, 0);
  let [served, failed, peak] = [0, 0, 0];
  const started = performance.now();
  say(`seed ${seed}, ${count} replies, Node ${process.version}`);
  for (const { name, share } of chosen) {
    const replies = Math.ceil((count * share) / whole);
    const ended = await runTarget({ target: name, replies, seed, progress: new SharedArrayBuffer(8) });
    const wrong = verdictOf(name, ended, seed);
    const figures = `${ended.served} replies in ${ended.cases} cases, ${(ended.ms / 1000).toFixed(0)} s`;
    const memory = `peak ${megabytes(ended.peakRss)}, in use at the end ${ended.grown >= 0 ? '+' : ''}${megabytes(ended.grown)}`;
    say(
      `${name.padEnd(9)}${figures}, ${memory}${worst(ended)}: ${wrong.length === 0 ? 'sound' : `${wrong.length} FAILED`}`,
    );
    for (const line of wrong) say(`  ${line}`);
    if (count === 1) for (const octets of ended.failures.flatMap((failure) => failure.replies)) say(`  ${octets}`);
    served += ended.served;
    failed += wrong.length;
    peak = Math.max(peak, ended.peakRss);
  }
  const minutes = ((performance.now() - started) / 60_000).toFixed(1);
  say(`${served} mutated replies, ${failed} failed, ${minutes} minutes, peak memory ${megabytes(peak)}`);
  return failed === 0;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const { values } = parseArgs({
    options: {
      count: { type: 'string', default: '1100000' },
      seed: { type: 'string', default: '20260131' },
      only: { type: 'string', default: '' },
    },
  });
  const options = { count: Number(values.count), seed: Number(values.seed), only: values.only };
  const sound = await run(options, (line) => void process.stdout.write(`${line}\n`));
  process.exit(sound ? 0 : 1);
}
