import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const ROUNDS = 21;
const run1 = promisify(execFile);

/** The floor: Node itself, doing nothing. */
const FLOOR = ['-e', '0'];
const CASES: Readonly<Record<string, readonly string[]>> = {
  '--version': ['dist/main.js', '--version'],
  '--help': ['dist/main.js', '--help'],
  'completion bash': ['dist/main.js', 'completion', 'bash'],
  'check-config': ['dist/main.js', 'check-config', 'config/outfeed.example.yaml'],
  'defect --symptom streak': ['dist/main.js', 'defect', '--symptom', 'streak'],
};

async function timed(args: readonly string[]): Promise<number> {
  const started = performance.now();
  // A command that finds a fault ends with 1, which is no failure of it.
  await run1(process.execPath, [...args], { cwd: ROOT }).catch((error: { code?: unknown }) => {
    if (error.code !== 1) throw error;
  });
  return performance.now() - started;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

/** Time from the start of the process to its end, beside a Node that does nothing; each pair of runs one after the other. */
export async function run(): Promise<void> {
  console.log(`node ${process.version}, ${ROUNDS} rounds each, medians`);
  for (const [name, args] of Object.entries(CASES)) {
    const floor: number[] = [];
    const ours: number[] = [];
    for (let i = 0; i < ROUNDS; i++) {
      floor.push(await timed(FLOOR));
      ours.push(await timed(args));
    }
    const ratio = median(ours.map((ms, i) => ms / (floor[i] ?? ms)));
    console.log(
      `  outfeed ${name.padEnd(24)} ${median(ours).toFixed(0).padStart(4)} ms  node -e 0 ${median(floor).toFixed(0).padStart(4)} ms  ratio ${ratio.toFixed(2)}`,
    );
  }
}
