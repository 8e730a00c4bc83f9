/**
 * The agent of the bench in a process of its own, built like the program, so that no compiler's memory counts:
 * `PRINTERS EVERY_MS MINUTES DEVICES_SCRIPT`. Prints one line.
 */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { Agent, type Settings } from '../../src/daemon/agent.js';
import { wallClock } from '../../src/daemon/hours.js';
import { groupOf } from '../../src/daemon/newcomers.js';
import { reader } from '../../src/daemon/reading.js';
import type { Watched } from '../../src/daemon/watch.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { openStore } from '../../src/store/store.js';
import { MemoryShelf } from '../daemon/worlds.js';

const MINUTE = 60_000;
const LOOK_MS = 500;
const quiet = { debug: () => undefined, info: () => undefined, warn: console.log, error: console.log };
const folder = mkdtempSync(join(tmpdir(), 'outfeed-bench-'));

interface Device {
  readonly name: string;
  readonly address: string;
  readonly snmpPort: number;
  readonly ippUri: string;
  readonly printPorts: readonly number[];
}

function watchedOf({ name, address, snmpPort, ippUri, printPorts }: Device): Watched {
  const target = { label: name, host: address, snmpPort, ippUri, printPorts, queues: [] };
  return { name, target, group: groupOf(address), configured: true };
}

const nothingFound: SweepDocument = {
  schema: 'outfeed.sweep/1',
  ranges: [],
  startedAt: new Date(0).toISOString(),
  tookMs: 0,
  addressesTried: 0,
  found: [],
  others: [],
  problems: [],
};

const percentile = (values: readonly number[], part: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * part))] ?? 0;

/** Real readings of made-up printers, `everyMs` apart, for `minutes`. */
async function readMany(count: number, everyMs: number, minutes: number, file: string): Promise<void> {
  const child = fork(file, [String(count)], { execArgv: ['--import', 'tsx'] });
  const [devices] = (await once(child, 'message')) as [Device[]];
  const store = await openStore(`sqlite:agent-${count}.db`, { site: 'bench', folder });
  const net = createSystemNet();
  const community = { version: '2c', community: 'public', label: 'community 1' } as const;
  const limits = { timeoutMs: 2_000, retries: 1, deadlineMs: 4_500, credentials: [community] };
  const clock = wallClock(undefined);
  const rules = {
    site: 'bench',
    pace: { everyMs, inFaultMs: everyMs },
    clock,
    officeHours: undefined,
    addressed: () => [],
    atOnce: 40,
  };
  const settings: Settings = {
    rules,
    printers: devices.map(watchedOf),
    tellers: [],
    sweepEveryMs: 1e12,
    keepMs: 400 * 24 * 60 * MINUTE,
  };
  const world = { now: () => Date.now(), monotonic: () => performance.now() };
  const read = reader(
    net,
    () => limits,
    async (bundle) => bundle,
  );
  globalThis.gc?.();
  const empty = process.memoryUsage.rss();
  const agent = new Agent(
    { world, store, read, log: quiet, shelf: new MemoryShelf(), sweep: async () => nothingFound },
    settings,
  );
  await agent.start();
  let sockets = 0;
  let memory = 0;
  let looked = 0;
  // Seldom: looking costs time of the process that is measured.
  const look = (): void => {
    if (performance.now() - looked < LOOK_MS) return;
    looked = performance.now();
    sockets = Math.max(sockets, readdirSync('/proc/self/fd').length);
    memory = Math.max(memory, process.memoryUsage.rss());
  };
  const turn = async (until: number): Promise<void> => {
    while (performance.now() < until) {
      const wait = await agent.step();
      look();
      await sleep(Math.min(wait, 200));
    }
  };
  while (agent.watch.readings < count) await turn(performance.now() + 1_000);
  await turn(performance.now() + everyMs);
  agent.watch.lags.length = 0;
  sockets = 0;
  memory = 0;
  const before = { cpu: process.cpuUsage(), readings: agent.watch.readings, written: agent.keeper.written };
  const started = performance.now();
  await turn(started + minutes * MINUTE);
  const spent = process.cpuUsage(before.cpu);
  const took = performance.now() - started;
  const readings = agent.watch.readings - before.readings;
  const cpu = (spent.user + spent.system) / 1000;
  const lags = agent.watch.lags;
  const states = agent.printersDocument().printers;
  console.log(
    `${count} printers every ${everyMs / 1000} s for ${minutes} min: ${((readings * MINUTE) / took).toFixed(0)} readings a minute, ` +
      `${((100 * cpu) / took).toFixed(1)} % of one core (${(cpu / readings).toFixed(1)} ms each), ` +
      `peak ${(memory / 1e6).toFixed(0)} MB (${(empty / 1e6).toFixed(0)} before the first reading), ${sockets} descriptors, lag p50 ${percentile(lags, 0.5).toFixed(0)} ms ` +
      `p99 ${percentile(lags, 0.99).toFixed(0)} ms, ${(((agent.keeper.written - before.written) * MINUTE) / took).toFixed(0)} changes a minute, ` +
      `${states.filter(({ silent }) => silent === false).length} can print`,
  );
  await agent.idle();
  await agent.stop();
  await store.close();
  child.disconnect();
}

const [count = '1000', everyMs = '60000', minutes = '2', devices = ''] = process.argv.slice(2);
await readMany(Number(count), Number(everyMs), Number(minutes), devices);
rmSync(folder, { recursive: true, force: true });
process.exit(0);
