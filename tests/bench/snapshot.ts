import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Made } from './snapshot-child.js';

const SITES = [30, 300] as const;
const RUNS = 3;

/**
 * A site's snapshot from the evidence on: judged, planned, rendered, written. Each in a process of its own; the peer is the same site
 * with a tenth of the printers, the floor is a process that only loads the code.
 */
export async function run(): Promise<void> {
  const floor = least(Array.from({ length: RUNS }, () => made(0)));
  console.log(
    `floor (loads the code, writes an empty site): ${floor.seconds.toFixed(2)} s, ${floor.peakMb.toFixed(0)} MB`,
  );
  const rows = SITES.map((printers) => ({ printers, best: least(Array.from({ length: RUNS }, () => made(printers))) }));
  for (const { printers, best } of rows) {
    const parts = Object.entries(best.parts).map(([part, seconds]) => `${part} ${seconds.toFixed(2)} s`);
    console.log(
      `${String(printers).padStart(4)} printers: ${best.seconds.toFixed(2)} s, peak ${best.peakMb.toFixed(0)} MB, ${(best.bytes / 1e6).toFixed(1)} MB in ${best.files} files, ${best.sheets} sheets (${parts.join(', ')})`,
    );
  }
  const [few, many] = rows;
  if (few === undefined || many === undefined) return;
  const seconds = (many.best.seconds - floor.seconds) / Math.max(0.001, few.best.seconds - floor.seconds);
  const memory = (many.best.peakMb - floor.peakMb) / Math.max(1, few.best.peakMb - floor.peakMb);
  console.log(
    `ten times the printers, above the floor: ${seconds.toFixed(1)} times the seconds, ${memory.toFixed(1)} times the memory`,
  );
}

function least(all: readonly Made[]): Made {
  return all.reduce((best, one) => (one.seconds < best.seconds ? one : best));
}

function made(printers: number): Made {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-bench-'));
  try {
    const child = fileURLToPath(new URL('./snapshot-child.ts', import.meta.url));
    const args = ['--import', 'tsx', child, String(printers), join(folder, 'out')];
    const { stdout, stderr, status } = spawnSync(process.execPath, args, { encoding: 'utf8' });
    if (status !== 0) throw new Error(stderr);
    if (!statSync(join(folder, 'out', 'manifest.json')).isFile()) throw new Error('nothing was written');
    return JSON.parse(stdout) as Made;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
