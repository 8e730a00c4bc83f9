import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { beforeAll, expect, test } from 'vitest';

/** What is read from disk before the first command's own files are: weighed rather than timed, so that a busy machine changes nothing. */

let bytes = 0;
let packages: readonly string[] = [];

beforeAll(async () => {
  const { metafile } = await build({
    absWorkingDir: fileURLToPath(new URL('../../', import.meta.url)),
    entryPoints: ['src/main.ts'],
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    packages: 'external',
    outdir: 'dist',
    write: false,
    metafile: true,
  });
  const { outputs } = metafile;
  const seen = new Set<string>();
  const found = new Set<string>();
  const visit = (file: string): void => {
    if (seen.has(file)) return;
    seen.add(file);
    for (const { path, kind, external } of outputs[file]?.imports ?? []) {
      if (kind === 'dynamic-import') continue;
      if (external === true) found.add(path);
      else visit(path);
    }
  };
  // The first file loads the rest at once, by one dynamic import.
  visit('dist/main.js');
  for (const { path, kind } of outputs['dist/main.js']?.imports ?? []) if (kind === 'dynamic-import') visit(path);
  bytes = [...seen].reduce((sum, file) => sum + (outputs[file]?.bytes ?? 0), 0);
  packages = [...found].filter((path) => !path.startsWith('node:')).sort();
}, 60_000);

test('"outfeed --version" loads one package and less than 60 kB of ours', () => {
  expect(packages).toEqual(['commander']);
  expect(bytes).toBeGreaterThan(10_000);
  expect(bytes).toBeLessThan(60_000);
});
