/** An agent's memory under load, to be killed at any moment. Prints what the store has acknowledged, one line each. */

import { Keeper } from '../../src/daemon/keeper.js';
import { webhook } from '../../src/daemon/outside/webhook.js';
import { Teller } from '../../src/daemon/teller.js';
import { openStore } from '../../src/store/store.js';
import { event, incident, sample, verdict } from '../store/samples.js';
import { keptLog, realWorld, tellerOf } from './worlds.js';

const [url = '', folder = '', hook = '', run = '0'] = process.argv.slice(2);
const setting = tellerOf({ to: { kind: 'webhook', url: hook }, perHour: 10_000 });

async function open() {
  for (;;) {
    try {
      const store = await openStore(url, { site: 'x', folder });
      if ((await store.lock()) !== null) return store;
      await store.close();
    } catch {
      // The database is not back yet.
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

const store = await open();
const keeper = new Keeper(store, realWorld, keptLog());
const teller = new Teller(setting, store, webhook(hook, undefined), realWorld, keptLog());
process.stdout.write('open\n');
void (async () => {
  for (;;) {
    await teller.run(true);
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
})();
const base = Date.parse('2026-03-02T09:00:00Z') + Number(run) * 1_000_000;
for (let at = 0; ; at++) {
  const id = `${run}-${at}`;
  const time = base + at;
  keeper.put([
    verdict('front-desk', time),
    sample('front-desk', time, at),
    incident(`i${id}`, time, { endedAt: at % 2 === 0 ? time : null }),
    event(`e${id}`, time, [setting.id]),
  ]);
  const before = keeper.written;
  await keeper.flush(true);
  if (keeper.written > before && keeper.backlog === 0) process.stdout.write(`${id} ${time}\n`);
  await new Promise((resolve) => setTimeout(resolve, at % 7));
}
