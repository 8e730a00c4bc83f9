/** `npm run bench -- NAME` runs the bench of that name, `tests/bench/NAME.ts`. */
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

interface Bench {
  run(): Promise<void>;
}

const name = process.argv[2] ?? '';
const known = readdirSync(fileURLToPath(new URL('.', import.meta.url)))
  .filter((file) => file.endsWith('.ts') && file !== 'bench.ts' && !file.includes('-'))
  .map((file) => file.replace(/\.ts$/, ''));
if (known.includes(name)) {
  const bench = (await import(`./${name}.js`)) as Bench;
  await bench.run();
} else {
  process.stderr.write(`no bench ${JSON.stringify(name)}: npm run bench -- ${known.join('|')}\n`);
  process.exitCode = 2;
}
