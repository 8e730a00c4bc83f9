import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { webhook } from '../../src/daemon/outside/webhook.js';
import { Teller } from '../../src/daemon/teller.js';
import { openStore, type Store } from '../../src/store/store.js';
import { startReceiver } from './receiver.js';
import { keptLog, realWorld, tellerOf } from './worlds.js';

const CHILD = fileURLToPath(new URL('./crash-child.ts', import.meta.url));

export interface Wreck {
  readonly kills: number;
  readonly acknowledged: number;
  /** Acknowledged and not there afterwards. */
  readonly lost: readonly string[];
  /** Kept and never told. */
  readonly untold: readonly string[];
  /** Told in the end, repeats counted. */
  readonly deliveries: number;
  /** Of those, the same again. */
  readonly repeats: number;
  /** The same key with another body. */
  readonly doubled: readonly string[];
}

/** One life: starts the child, kills it after a while, gives what it had acknowledged. */
async function life(url: string, folder: string, hook: string, run: number, afterMs: number): Promise<string[]> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, url, folder, hook, String(run)]);
  let said = '';
  child.stdout.on('data', (part: Buffer) => {
    said += part.toString('utf8');
    // The time counts from when there is something to lose.
    if (said.startsWith('open\n') && timer === undefined) timer = setTimeout(() => child.kill('SIGKILL'), afterMs);
  });
  let timer: NodeJS.Timeout | undefined;
  let wrong = '';
  child.stderr.on('data', (part: Buffer) => {
    wrong += part.toString('utf8');
  });
  const limit = setTimeout(() => child.kill('SIGKILL'), 25_000);
  await new Promise((resolve) => child.once('close', resolve));
  clearTimeout(timer);
  clearTimeout(limit);
  if (!said.startsWith('open\n')) throw new Error(`the child never got so far: ${wrong.slice(0, 500)}`);
  return said.split('\n').slice(1, -1);
}

/** Kills an agent's memory at many moments and looks at what is left. `between`: what else happens meanwhile. */
export async function wreck(
  url: string,
  folder: string,
  kills: number,
  moment: (kill: number) => number,
  between: (kill: number) => Promise<void> = async () => undefined,
): Promise<Wreck> {
  const receiver = await startReceiver();
  const acknowledged: string[] = [];
  try {
    for (let kill = 0; kill < kills; kill++) {
      const [lines] = await Promise.all([life(url, folder, receiver.url, kill, moment(kill)), between(kill)]);
      acknowledged.push(...lines);
    }
    const store = await openStore(url, { site: 'x', folder });
    try {
      return await look(store, receiver, acknowledged, kills);
    } finally {
      await store.close();
    }
  } finally {
    await receiver.close();
  }
}

async function look(
  store: Store,
  receiver: Awaited<ReturnType<typeof startReceiver>>,
  acknowledged: readonly string[],
  kills: number,
): Promise<Wreck> {
  const setting = tellerOf({ to: { kind: 'webhook', url: receiver.url }, perHour: 10_000 });
  await new Teller(setting, store, webhook(receiver.url, undefined), realWorld, keptLog()).run(true);
  const incidents = new Set((await store.incidents({ limit: 1_000_000 })).map(({ id }) => id));
  const levels = new Set((await store.levels(0)).map(({ at }) => at));
  const bodies = new Map<string, string>();
  const doubled: string[] = [];
  for (const { key, body } of receiver.deliveries) {
    if ((bodies.get(key) ?? body) !== body) doubled.push(key);
    bodies.set(key, body);
  }
  const lost = acknowledged.filter((line) => {
    const [id = '', time] = line.split(' ');
    return !incidents.has(`i${id}`) || !levels.has(Number(time));
  });
  return {
    kills,
    acknowledged: acknowledged.length,
    lost,
    untold: [...incidents].map((id) => id.replace(/^i/, 'e')).filter((id) => !bodies.has(id)),
    deliveries: receiver.deliveries.length,
    repeats: receiver.deliveries.length - bodies.size,
    doubled,
  };
}
