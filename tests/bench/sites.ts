/**
 * `npm run bench -- sites [SITES [ROUNDS]]`: many sites of 25 printers in one PostgreSQL, each written by an agent that connects for it,
 * and what one site's own questions cost among all of them; beside it, in the same run, the same with ten sites.
 */
import { openStore, type Store } from '../../src/store/store.js';
import { findPostgres, type Postgres, startPostgres } from '../peers/postgres.js';
import { busyChanges } from './busy-site.js';

/** Agents that write in the same moment. */
const AT_ONCE = 8;
/** Sites whose questions are timed. */
const ASKED = 20;
/** When the first round of `busyChanges` is. */
const BEGUN = Date.parse('2026-03-02T09:00:00Z');

export async function run(): Promise<void> {
  if (findPostgres() === null) throw new Error('needs PostgreSQL');
  const [sites = 2000, rounds = 40] = process.argv.slice(3).map(Number);
  const server = await startPostgres();
  try {
    await measured(server, 10, rounds);
    await measured(server, sites, rounds);
  } finally {
    await server.stop();
  }
}

async function measured(server: Postgres, sites: number, rounds: number): Promise<void> {
  const url = await server.database();
  const site = (n: number, readOnly = false): Promise<Store> =>
    openStore(url, { site: `site ${n}`, folder: '.', readOnly });
  let changes = 0;
  const started = performance.now();
  // The first one makes the tables.
  await (await site(0)).close();
  for (let first = 0; first < sites; first += AT_ONCE) {
    const numbers = Array.from({ length: Math.min(AT_ONCE, sites - first) }, (_, n) => first + n);
    await Promise.all(
      numbers.map(async (n) => {
        const store = await site(n);
        const made = Array.from({ length: rounds }, (_, round) => busyChanges(n, round)).flat();
        changes += made.length;
        await store.apply(made);
        await store.close();
      }),
    );
  }
  const seconds = (performance.now() - started) / 1000;
  console.log(
    `${sites} sites × 25 printers × ${rounds} rounds: ${changes} changes in ${seconds.toFixed(0)} s, connecting included, ` +
      `${(changes / seconds).toFixed(0)} a second`,
  );
  await questions(site, sites);
}

async function questions(site: (n: number, readOnly?: boolean) => Promise<Store>, sites: number): Promise<void> {
  const took = { overview: [] as number[], incidents: [] as number[], levels: [] as number[] };
  let octets = 0;
  for (let turn = 0; turn < ASKED; turn++) {
    const store = await site(Math.floor((turn * sites) / ASKED), true);
    took.overview.push(await timed(() => store.remembered()));
    took.incidents.push(await timed(() => store.incidents({ limit: 100 })));
    took.levels.push(await timed(() => store.levels(BEGUN)));
    octets = await store.size();
    await store.close();
  }
  const words = Object.entries(took).map(([what, times]) => {
    const sorted = times.sort((a, b) => a - b);
    return `${what} p50 ${sorted[ASKED / 2]?.toFixed(1)} ms, worst ${sorted.at(-1)?.toFixed(1)} ms`;
  });
  console.log(`  one site's questions: ${words.join('; ')}; ${(octets / 1e6).toFixed(0)} MB in all`);
}

async function timed(ask: () => Promise<unknown>): Promise<number> {
  const started = performance.now();
  await ask();
  return performance.now() - started;
}
