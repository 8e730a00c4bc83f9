import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';
import { openStore, type Store } from '../../src/store/store.js';
import { findPostgres, startPostgres } from '../peers/postgres.js';
import { busyChanges } from './busy-site.js';

const folder = mkdtempSync(join(tmpdir(), 'outfeed-bench-'));

const percentile = (values: readonly number[], part: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * part))] ?? 0;

/** Many sites writing into one PostgreSQL, and what the overview costs meanwhile. */
async function manySites(sites: number, rounds: number): Promise<void> {
  if (findPostgres() === null) {
    console.log('PostgreSQL is not installed: not measured');
    return;
  }
  const server = await startPostgres();
  const url = await server.database();
  const stores: Store[] = [];
  for (let site = 0; site < sites; site++) stores.push(await openStore(url, { site: `site ${site}`, folder }));
  let changes = 0;
  const started = performance.now();
  const overviews: number[] = [];
  for (let round = 0; round < rounds; round++) {
    for (let first = 0; first < stores.length; first += 8) {
      await Promise.all(
        stores.slice(first, first + 8).map(async (store, n) => {
          const made = busyChanges(first + n, round);
          changes += made.length;
          await store.apply(made);
        }),
      );
    }
    const asked = performance.now();
    await stores[round % stores.length]?.remembered();
    overviews.push(performance.now() - asked);
  }
  const seconds = (performance.now() - started) / 1000;
  console.log(
    `${stores.length} sites × 25 printers into one PostgreSQL: ${(changes / seconds).toFixed(0)} changes a second, ` +
      `overview of one site p50 ${percentile(overviews, 0.5).toFixed(0)} ms, worst ${Math.max(...overviews).toFixed(0)} ms`,
  );
  for (const store of stores) await store.close();
  await server.stop();
}

/** Beside the packages that it needs, so that it finds them. */
async function builtReading(): Promise<string> {
  const file = fileURLToPath(new URL('../../node_modules/.cache/outfeed-bench/agent-reading.mjs', import.meta.url));
  const input = fileURLToPath(new URL('./agent-reading.ts', import.meta.url));
  const bundle = await rolldown({ input, platform: 'node', external: (id) => !/^[./]/.test(id) });
  await bundle.write({ file, format: 'esm', codeSplitting: false });
  await bundle.close();
  return file;
}

/** `npm run bench -- agent [PRINTERS[@SECONDS] …]`: so many printers, each read once in so many seconds, else in a minute. */
export async function run(): Promise<void> {
  const asked = process.argv.slice(3);
  const program = await builtReading();
  for (const one of asked.length > 0 ? asked : ['1000']) {
    const [count = 0, seconds = 60] = one.split('@').map(Number);
    const devices = fileURLToPath(new URL('./agent-devices.ts', import.meta.url));
    const minutes = Math.max(2, (2 * seconds) / 60);
    const { status } = spawnSync(
      process.execPath,
      [program, String(count), String(seconds * 1000), String(minutes), devices],
      {
        stdio: 'inherit',
      },
    );
    if (status !== 0) throw new Error(`the agent with ${count} printers ended with ${status}`);
  }
  rmSync(program, { force: true });
  await manySites(200, 15);
  rmSync(folder, { recursive: true, force: true });
}
