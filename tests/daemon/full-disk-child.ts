/** Writes until the disk is full, then has room made, and goes on: run in a file system of its own. */
import { readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Keeper } from '../../src/daemon/keeper.js';
import type { Change } from '../../src/store/change.js';
import { openStore } from '../../src/store/store.js';
import { event, sample, T0, verdict } from '../store/samples.js';
import { FakeWorld, keptLog } from './worlds.js';

const [folder = ''] = process.argv.slice(2);
const filler = join(folder, 'filler');
const world = new FakeWorld();
const log = keptLog();
const store = await openStore('sqlite:f.db', { site: 'x', folder });
writeFileSync(filler, Buffer.alloc(600_000));
const keeper = new Keeper(store, world, log);
let put = 0;
while (keeper.well && put < 5_000) {
  const wordy = { ...verdict('a', T0 + put), summary: 'Tray 2 is empty. '.repeat(100) } as Change;
  keeper.put([wordy, sample('a', T0 + put, put), event(`e${put}`, T0 + put)]);
  await keeper.flush(true);
  put++;
}
const full = !keeper.well;
for (let more = 0; more < 20; more++) {
  keeper.put([sample('a', T0 + put, put), event(`e${put}`, T0 + put)]);
  world.advance(30_000);
  await keeper.flush();
  put++;
}
const waiting = keeper.backlog;
rmSync(filler);
world.advance(60_000);
await keeper.flush();
const told = await store.waiting();
const levels = (await store.levels(0)).length;
await store.close();
const again = await openStore('sqlite:f.db', { site: 'x', folder });
await again.check();
await again.close();
process.stdout.write(
  JSON.stringify({
    full,
    waiting,
    put,
    told,
    levels,
    well: keeper.well,
    dropped: keeper.dropped,
    files: readdirSync(folder),
    log: log.lines,
  }),
);
