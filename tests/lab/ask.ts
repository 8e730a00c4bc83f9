/** The machine that asks, as a process in its own namespace: runs the whole program with the arguments of each line. */
import { outfeed } from '../commands/captured-io.js';
import { serveLines } from './lines.js';
import type { Ran } from './outcome.js';

async function ask({ argv, cwd }: { readonly argv: readonly string[]; readonly cwd: string }): Promise<Ran> {
  const began = performance.now();
  const { code, out, err } = await outfeed(argv, { cwd });
  return { code, out, err, ms: performance.now() - began };
}

serveLines(ask as (request: never) => Promise<unknown>);
