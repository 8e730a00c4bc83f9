import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { Agent, type Settings } from '../../src/daemon/agent.js';
import { wallClock } from '../../src/daemon/hours.js';
import { readingOf } from '../../src/daemon/reading.js';
import { addressing } from '../../src/daemon/tell-whom.js';
import type { Message } from '../../src/daemon/teller.js';
import type { Watched } from '../../src/daemon/watch.js';
import { ProgramProblem } from '../../src/model/problem.js';
import { openStore, type Store } from '../../src/store/store.js';
import { bundleOf, HEALTHY, type Site, snmpPrinter } from '../ladder/bundle.js';
import { MINUTE } from './conditions.js';
import { FakeWorld, keptLog, MemoryShelf, tellerOf } from './worlds.js';

const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const JAMMED: Site = { ...HEALTHY, snmp: snmpPrinter({ device: 5, printer: 1, bits: '0400' }) };

let folder: string;
let store: Store;
let world: FakeWorld;
let seen: Site;
let told: string[];
let asked: string[];
let sweeps: number;
let failing: Error | null;
let agent: Agent;
let shelf: MemoryShelf;
const log = keptLog();

/** The store, until something happens to it. */
function fragile(real: Store): Store {
  const through = <A extends unknown[], R>(act: (...args: A) => Promise<R>) => {
    return (...args: A): Promise<R> => (failing ? Promise.reject(failing) : act(...args));
  };
  return {
    ...real,
    apply: through(real.apply),
    dueTellings: through(real.dueTellings),
    plans: through(real.plans),
    marked: through(real.marked),
    retain: through(real.retain),
  };
}

function settings(officeHours?: string): Settings {
  const clock = wallClock('UTC');
  const setting = tellerOf({ to: { kind: 'command', run: 'bell', args: [] } });
  const target = { label: 'front-desk', host: '192.0.2.21', snmpPort: 161, printPorts: [631], queues: [] };
  const watched: Watched = { name: 'front-desk', target, group: '192.0.2.0/24', configured: true };
  const send = async ({ events }: Message) => {
    told.push(...events.map(({ kind, cause }) => `${kind} ${cause}`));
  };
  return {
    rules: {
      site: 'x',
      pace: { everyMs: 5 * MINUTE, inFaultMs: MINUTE },
      clock,
      officeHours,
      addressed: addressing([setting], clock),
      atOnce: 10,
    },
    printers: [watched],
    tellers: [{ setting, send }],
    sweepEveryMs: 6 * HOUR,
    keepMs: 400 * DAY,
  };
}

async function startAgent(): Promise<void> {
  agent = new Agent(
    {
      world,
      store: fragile(store),
      log,
      shelf,
      sweep: () => {
        sweeps += 1;
        return Promise.reject(new Error('no network'));
      },
      read: async (_target, depth) => {
        asked.push(depth);
        const bundle = bundleOf(seen);
        return readingOf({ ...bundle, askedAt: new Date(world.now()).toISOString() });
      },
    },
    settings(),
  );
  await agent.start();
}

async function pass(ms: number, step = 5_000): Promise<void> {
  for (let spent = 0; spent < ms; spent += step) {
    await agent.step();
    await agent.idle();
    world.advance(step);
  }
  await agent.step();
  await agent.idle();
}

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-fake-'));
  store = await openStore('sqlite:a.db', { site: 'x', folder });
  world = new FakeWorld();
  shelf = new MemoryShelf();
  seen = HEALTHY;
  told = [];
  asked = [];
  sweeps = 0;
  failing = null;
  await startAgent();
});
afterEach(async () => {
  failing = null;
  await agent.stop();
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('how often', () => {
  test('a printer that is well is read every five minutes, one in fault every minute', async () => {
    await pass(HOUR);
    expect(asked.length).toBeGreaterThanOrEqual(12);
    expect(asked.length).toBeLessThanOrEqual(14);
    seen = JAMMED;
    await pass(10 * MINUTE);
    asked.length = 0;
    await pass(HOUR);
    expect(asked.length).toBeGreaterThan(50);
    expect(asked.length).toBeLessThan(70);
  });

  test('what is heard of it leads to a look at once', async () => {
    await pass(10 * MINUTE);
    asked.length = 0;
    agent.heardFrom('192.0.2.21');
    await pass(10_000, 1_000);
    expect(asked).toHaveLength(1);
  });
});

describe('a printer that is gone from its address', () => {
  const GONE: Site = { route: 'onlink', mac: 'failed', gateway: 'alive', tcp: { 631: 'EHOSTUNREACH' }, snmp: 'silent' };

  test('is looked for by a sweep at once, and not again and again', async () => {
    await pass(HOUR);
    const before = sweeps;
    seen = GONE;
    await pass(10 * MINUTE);
    expect(sweeps).toBe(before + 1);
    await pass(HOUR);
    expect(sweeps).toBe(before + 1);
  });
});

describe('the clock of the machine', () => {
  test('put back an hour: reading goes on, nothing ends before it began', async () => {
    seen = JAMMED;
    await pass(10 * MINUTE);
    world.set(-HOUR);
    seen = HEALTHY;
    asked.length = 0;
    await pass(10 * MINUTE);
    expect(asked.length).toBeGreaterThan(2);
    expect(told).toEqual(['fault media-jam', 'cleared media-jam']);
    const [kept] = await store.incidents({ limit: 5 });
    expect(Date.parse(kept?.endedAt ?? '')).toBeGreaterThanOrEqual(Date.parse(kept?.startedAt ?? ''));
    expect(log.lines.join('\n')).toContain('the clock of this machine was set');
  });

  test('put forward a year: what is remembered is not thrown away, and after a year back all is as before', async () => {
    await pass(2 * HOUR);
    world.set(365 * 2 * DAY);
    await pass(3 * HOUR);
    expect((await store.past('front-desk'))?.verdicts).toHaveLength(1);
    world.set(-365 * 2 * DAY);
    seen = JAMMED;
    await pass(10 * MINUTE);
    seen = HEALTHY;
    await pass(20 * MINUTE);
    expect(told).toEqual(['fault media-jam', 'cleared media-jam']);
    expect((await store.incidents({ limit: 5 })).length).toBe(1);
    // A start finds it well, though the newest time on record lies years ahead.
    await agent.stop();
    await startAgent();
    await pass(20 * MINUTE);
    expect(told).toHaveLength(2);
  });
});

describe('the database', () => {
  test('gone for ten minutes: what happened meanwhile is written and told afterwards, once', async () => {
    await pass(10 * MINUTE);
    failing = Object.assign(new Error('connect ECONNREFUSED'), { code: 'ECONNREFUSED' });
    seen = JAMMED;
    await pass(5 * MINUTE);
    expect(agent.troubles().join()).toContain('can not be written');
    seen = HEALTHY;
    await pass(5 * MINUTE);
    expect(told).toEqual([]);
    failing = null;
    await pass(2 * MINUTE);
    expect(agent.troubles()).toEqual([]);
    expect(told).toEqual(['fault media-jam', 'cleared media-jam']);
    expect(await store.incidents({ limit: 5 })).toMatchObject([{ cause: 'media-jam', endedAt: expect.any(String) }]);
    expect(shelf.lying).toEqual([]);
  });

  test('that refuses for a while, as one whose password was changed: reading goes on', async () => {
    failing = new ProgramProblem('store-database', 'The store can’t be used: the password is wrong.');
    await pass(5 * MINUTE);
    failing = null;
    asked.length = 0;
    await pass(10 * MINUTE);
    expect(asked.length).toBeGreaterThan(1);
    expect(agent.troubles()).toEqual([]);
  });

  /** A fault that comes while the database is away, and the time of it. */
  async function jamWhileAway(): Promise<number> {
    await pass(10 * MINUTE);
    failing = Object.assign(new Error('connect ECONNREFUSED'), { code: 'ECONNREFUSED' });
    seen = JAMMED;
    const at = world.now();
    await pass(10 * MINUTE);
    return at;
  }
  async function nextLife(): Promise<void> {
    failing = null;
    await startAgent();
    await pass(10 * MINUTE);
    const [kept, more] = await store.incidents({ limit: 5 });
    expect(more).toBeUndefined();
    expect(kept).toMatchObject({ cause: 'media-jam', endedAt: null });
    expect(told).toEqual(['fault media-jam']);
    expect(shelf.lying).toEqual([]);
  }

  test('gone while the agent is stopped: what waited is written and told at the next start, with its own times', async () => {
    const at = await jamWhileAway();
    await agent.stop();
    await nextLife();
    const [kept] = await store.incidents({ limit: 5 });
    expect(Date.parse(kept?.startedAt ?? '')).toBeLessThan(at + 6 * MINUTE);
  });

  test('gone when the power fails: no more than the last minute is lost', async () => {
    await jamWhileAway();
    const asOfThen = shelf.lying;
    await agent.stop();
    shelf.lying = asOfThen;
    await nextLife();
  });
});

test('an agent that starts again tells nothing twice and forgets nothing', async () => {
  seen = JAMMED;
  await pass(10 * MINUTE);
  for (let life = 0; life < 3; life++) {
    await agent.stop();
    await startAgent();
    await pass(10 * MINUTE);
  }
  seen = HEALTHY;
  await pass(10 * MINUTE);
  expect(told).toEqual(['fault media-jam', 'cleared media-jam']);
});

describe('whom it tells', () => {
  const bell = (run: string) => tellerOf({ to: { kind: 'command', run, args: [] } });
  const following = (...tellers: Settings['tellers']): void => {
    const usual = settings();
    const addressed = addressing(
      tellers.map(({ setting }) => setting),
      usual.rules.clock,
    );
    agent.follow({ ...usual, tellers, rules: { ...usual.rules, addressed } });
  };
  const jam = async (): Promise<void> => {
    await agent.step();
    await agent.watch.idle();
    seen = JAMMED;
    for (let second = 0; second < 600; second += 5) {
      world.advance(5_000);
      await agent.step();
      await agent.watch.idle();
      await agent.keeper.flush();
    }
  };

  test('one that does not come to an end keeps nobody else waiting', async () => {
    let free: () => void = () => undefined;
    const freed = new Promise<void>((resolve) => {
      free = resolve;
    });
    const send = async () => void told.push('told');
    following({ setting: bell('slow'), send: () => freed }, { setting: bell('quick'), send });
    await jam();
    await expect.poll(() => told).toEqual(['told']);
    seen = HEALTHY;
    await agent.watch.idle();
    for (let second = 0; second < 300 && told.length < 2; second += 5) {
      world.advance(5_000);
      await agent.step();
      await agent.watch.idle();
      await agent.keeper.flush();
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    expect(told).toEqual(['told', 'told']);
    free();
  });

  test('a secret that was exchanged holds once the configuration is read again', async () => {
    const by = (secret: string) => ({ setting: bell('bell'), send: async () => void told.push(secret) });
    following(by('old'));
    following(by('new'));
    await jam();
    await agent.idle();
    expect(told).toEqual(['new']);
  });
});

test('that old things can not be let go is said', async () => {
  await pass(MINUTE);
  store.retain = () => Promise.reject(new Error('canceling statement due to statement timeout'));
  await agent.stop();
  await startAgent();
  world.advance(2 * DAY);
  await pass(DAY + 2 * HOUR, 10 * MINUTE);
  expect(log.lines.filter((line) => line.includes('can not be let go')).length).toBeGreaterThan(0);
});

test('work that is planned while it runs keeps it quiet', async () => {
  await store.plan({ printer: 'front-desk', from: world.now(), to: world.now() + 2 * HOUR, why: '' });
  await pass(2 * MINUTE);
  seen = JAMMED;
  await pass(HOUR);
  expect(told).toEqual([]);
  await pass(2 * HOUR);
  expect(told).toEqual(['fault media-jam']);
});
