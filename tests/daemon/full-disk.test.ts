import { execFile } from 'node:child_process';
import { mkdtempSync, rmdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { describeWithPeers } from '../peers/peer.js';

const run = promisify(execFile);
const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./full-disk-child.ts', import.meta.url));

describeWithPeers('a file system of its own, small', ['namespaces', 'unshare', 'mount'], () => {
  /** Runs a script with a folder that nobody else sees, on a file system of so many octets. */
  const inside = async (size: number, script: string) => {
    const folder = mkdtempSync(join(tmpdir(), 'outfeed-disk-'));
    const shell = `mount -t tmpfs -o size=${size} none "$1" && ${script}`;
    try {
      return await run('unshare', ['-m', 'sh', '-c', shell, 'sh', folder, process.execPath, CHILD], { cwd: ROOT });
    } finally {
      rmdirSync(folder);
    }
  };

  test('a full disk: nothing is lost, and all is written once there is room', async () => {
    const { stdout } = await inside(1_400_000, 'exec "$2" --import tsx "$3" "$1"');
    const seen = JSON.parse(stdout);
    expect(seen).toMatchObject({ full: true, well: true, dropped: 0 });
    expect(seen.waiting).toBeGreaterThan(20);
    expect(seen.told).toBe(seen.put);
    expect(seen.levels).toBe(seen.put);
    expect(seen.log.join('\n')).toContain('the store can not be written');
    expect(seen.log.join('\n')).toContain('the store can be written again');
  }, 60_000);

  test('a disk that may only be read is said to be so in one sentence', async () => {
    const main = join(ROOT, 'src/main.ts');
    const script = `mount -o remount,ro "$1" && cd "$1" && exec "$2" --import "${ROOT}node_modules/tsx/dist/loader.mjs" "${main}" agent --once --quiet`;
    const failed = await inside(100_000, script).then(
      () => null,
      (error: { code: number; stderr: string }) => error,
    );
    expect(failed?.code).toBe(2);
    expect(failed?.stderr.trim()).toMatch(/^outfeed: The store \S+outfeed\.db can't be used: .*\.$/);
  }, 60_000);
});
