import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
/** Tells on stderr, when the program ends, which files it had loaded. */
const WITNESS =
  'data:text/javascript,' +
  encodeURIComponent(
    "import m from 'node:module';process.on('exit',()=>process.stderr.write(JSON.stringify(Object.keys(m._cache))))",
  );

/** The files that a command reads from disk to run, the program's own and those of packages. */
function loadedBy(...args: readonly string[]): readonly string[] {
  const node = [...['--import', WITNESS], 'dist/main.js', ...args];
  const child = execFileSync('sh', ['-c', '"$@" 2>&1 >/dev/null', 'sh', process.execPath, ...node], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  return JSON.parse(child) as readonly string[];
}

/** Weighed rather than timed, so that a busy machine changes nothing; the times are those of `npm run bench -- start`. */
describe('what a start loads from disk', () => {
  test.each([
    ['--version', 200_000],
    ['--help', 200_000],
    ['check-config config/outfeed.example.yaml', 2_000_000],
  ])('outfeed %s: no more than %i bytes', (line, most) => {
    const files = loadedBy(...line.split(' '));
    const bytes = files.reduce((sum, file) => sum + statSync(file).size, 0);
    expect(bytes).toBeGreaterThan(10_000);
    expect(bytes).toBeLessThan(most);
  });

  test('"outfeed --version" loads no package', () => {
    expect(loadedBy('--version').filter((file) => file.includes('node_modules'))).toEqual([]);
  });
});

/** The tests of commands run the sources; the built program finds its own files by another way. */
describe('the built program', () => {
  test('hides what tells whose a site is, for which it reads its own words', () => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-built-'));
    try {
      const told = execFileSync(
        process.execPath,
        ['dist/main.js', 'snapshot', '127.0.0.1', '--redact', '--timeout', '50', '--out', join(folder, 'site')],
        { cwd: ROOT, encoding: 'utf8' },
      );
      expect(told).toContain('nothing hidden was found in any file');
      expect(readdirSync(join(folder, 'site'))).toContain('manifest.json');
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
