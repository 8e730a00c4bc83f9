import { createHmac } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, test } from 'vitest';
import { command } from '../../src/daemon/outside/command.js';
import { webhook } from '../../src/daemon/outside/webhook.js';
import { Refused, type Send, Teller } from '../../src/daemon/teller.js';
import { openStore, type Store } from '../../src/store/store.js';
import { event, HOUR, T0 } from '../store/samples.js';
import { type Receiver, startReceiver } from './receiver.js';
import { FakeWorld, keptLog, tellerOf } from './worlds.js';

const folder = mkdtempSync(join(tmpdir(), 'outfeed-teller-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let receiver: Receiver;
let store: Store;
let world: FakeWorld;
let count = 0;
beforeEach(async () => {
  receiver = await startReceiver();
  store = await openStore(`sqlite:t${++count}.db`, { site: 'x', folder });
  world = new FakeWorld();
});
afterEach(async () => {
  await receiver.close();
  await store.close();
});

const hook = () => tellerOf({ to: { kind: 'webhook', url: receiver.url } });
const put = async (ids: readonly string[], teller: string, dueAt = T0) => {
  for (const id of ids) await store.apply([event(id, T0, [teller], dueAt)]);
};
const bodies = () =>
  receiver.deliveries.map(({ body }) => JSON.parse(body) as { id?: string; events?: { id: string }[] });

describe('a webhook', () => {
  test('gets exactly outfeed.event/1, signed, with the id as its key', async () => {
    const setting = hook();
    await put(['e1'], setting.id);
    await new Teller(setting, store, webhook(receiver.url, 'a secret'), world, keptLog()).run();
    const [delivery] = receiver.deliveries;
    const made = event('e1', T0);
    expect(JSON.parse(delivery?.body ?? '')).toEqual(made.kind === 'event' ? made.event : null);
    expect(Object.keys(JSON.parse(delivery?.body ?? ''))).toEqual([
      'schema',
      'id',
      'kind',
      'printer',
      'layer',
      'cause',
      'at',
      'summary',
    ]);
    expect(delivery).toMatchObject({ key: 'e1', type: 'application/json' });
    const hmac = createHmac('sha256', 'a secret')
      .update(delivery?.body ?? '')
      .digest('hex');
    expect(delivery?.signature).toBe(`sha256=${hmac}`);
    expect(await store.waiting()).toBe(0);
  });

  test('the signature is that of RFC 4231, test case 2', async () => {
    const { signatureOf } = await import('../../src/daemon/outside/webhook.js');
    expect(signatureOf('what do ya want for nothing?', 'Jefe')).toBe(
      'sha256=5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843',
    );
  });

  test('is told again until it takes it, with growing pauses, in order, the same body each time', async () => {
    const setting = hook();
    await put(['e1', 'e2'], setting.id);
    receiver.answers.push(503, 'cut', 500);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    for (let minute = 0; minute < 10; minute++) {
      await teller.run();
      await teller.run();
      world.advance(60_000);
    }
    expect(receiver.deliveries.map(({ key }) => key)).toEqual(['e1', 'e1', 'e1', 'e1', 'e2']);
    expect(new Set(receiver.deliveries.slice(0, 4).map(({ body }) => body)).size).toBe(1);
    expect(await store.waiting()).toBe(0);
  });

  test('one event that is refused for what it is does not hold up the others', async () => {
    const setting = hook();
    await put(['e1', 'e2'], setting.id);
    receiver.answers.push(422);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    await teller.run();
    expect(receiver.deliveries.map(({ key }) => key)).toEqual(['e1', 'e2']);
    world.advance(60_000);
    await teller.run();
    expect(receiver.deliveries.map(({ key }) => key)).toEqual(['e1', 'e2', 'e1']);
    expect(await store.waiting()).toBe(0);
  });

  test('nor does it hold up those that come later, however often it is refused', async () => {
    const setting = hook();
    await put(['e1'], setting.id);
    receiver.answers.push(422, 422, 422);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    for (let tries = 0; tries < 3; tries++) {
      await teller.run();
      world.advance(30_000);
    }
    await put(['e2'], setting.id);
    await teller.run();
    expect(receiver.deliveries.map(({ key }) => key)).toEqual(['e1', 'e1', 'e1', 'e2']);
    world.advance(HOUR);
    await teller.run();
    expect(await store.waiting()).toBe(0);
  });

  test('what began long ago and was to be told only now is not given up at once', async () => {
    const setting = hook();
    await store.apply([event('e1', T0 - 20 * 24 * HOUR, [setting.id], T0)]);
    const refuse: Send = () => Promise.reject(new Refused('never'));
    const teller = new Teller(setting, store, refuse, world, keptLog());
    for (let tries = 0; tries < 10; tries++) {
      await teller.run();
      world.advance(HOUR);
    }
    expect(await store.waiting()).toBe(1);
  });

  test('what is refused for days is given up, and said to be', async () => {
    const setting = hook();
    await put(['e1'], setting.id);
    const log = keptLog();
    const refuse: Send = () => Promise.reject(new Refused('never'));
    const teller = new Teller(setting, store, refuse, world, log);
    for (let hour = 0; hour < 80; hour++) {
      await teller.run();
      world.advance(HOUR);
    }
    expect(await store.waiting()).toBe(0);
    expect(log.lines.filter((line) => line.includes('given up'))).toHaveLength(1);
  });

  test('a redirect is not followed: the secret is for this receiver only', async () => {
    const setting = hook();
    await put(['e1'], setting.id);
    receiver.answers.push(302);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    await teller.run();
    expect(await store.waiting()).toBe(1);
  });
});

describe('limits', () => {
  const many = Array.from({ length: 10 }, (_, at) => `e${at}`);

  test('without one each event is a message', async () => {
    const setting = hook();
    await put(many, setting.id);
    await new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog()).run();
    expect(receiver.deliveries).toHaveLength(10);
  });

  test('what exceeds it is gathered into one message, none is dropped', async () => {
    const setting = tellerOf({ to: { kind: 'webhook', url: receiver.url }, perHour: 3 });
    await put(many, setting.id);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    await teller.run();
    expect(receiver.deliveries).toHaveLength(3);
    expect(bodies().map(({ id, events }) => id ?? events?.length)).toEqual(['e0', 'e1', 8]);
    await put(['late'], setting.id);
    await teller.run();
    expect(receiver.deliveries).toHaveLength(3);
    world.advance(HOUR);
    await teller.run();
    expect(bodies().at(-1)?.id).toBe('late');
  });

  test('a gathered message that failed is repeated as it was, though more has come', async () => {
    const setting = tellerOf({ to: { kind: 'webhook', url: receiver.url }, perHour: 1 });
    await put(['e1', 'e2'], setting.id);
    receiver.answers.push('cut');
    const teller = () => new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    await teller().run();
    await put(['e3'], setting.id);
    await teller().run();
    const [first, second] = receiver.deliveries;
    expect(receiver.deliveries).toHaveLength(2);
    expect(second).toEqual(first);
    world.advance(HOUR);
    await teller().run();
    expect(bodies().at(-1)?.id).toBe('e3');
  });

  test('what quiet hours held back comes in one message', async () => {
    const setting = tellerOf({ to: { kind: 'webhook', url: receiver.url }, quiet: '20:00-07:00' });
    await put(['e1', 'e2', 'e3'], setting.id, T0 + 10 * HOUR);
    const teller = new Teller(setting, store, webhook(receiver.url, undefined), world, keptLog());
    await teller.run();
    expect(receiver.deliveries).toHaveLength(0);
    world.advance(10 * HOUR);
    await teller.run();
    expect(bodies().map(({ events }) => events?.length)).toEqual([3]);
  });
});

describe('a command', () => {
  const run = async (program: string, args: readonly string[]) => {
    const setting = tellerOf({ to: { kind: 'command', run: program, args } });
    await put(['e1'], setting.id);
    const log = keptLog();
    await new Teller(setting, store, command(program, args, folder), world, log).run();
    return log;
  };

  test('gets the event on its standard input', async () => {
    await run('/bin/sh', ['-c', 'cat > told.txt; echo $OUTFEED_KEY >> told.txt']);
    const [body, key] = readFileSync(join(folder, 'told.txt'), 'utf8').split('\n');
    expect(JSON.parse(body ?? '')).toMatchObject({ schema: 'outfeed.event/1', id: 'e1' });
    expect(key).toBe('e1');
    expect(await store.waiting()).toBe(0);
  });

  test('one that leaves something running behind it is not waited for any longer than itself', async () => {
    const log = await run('/bin/sh', ['-c', 'sleep 60 & echo $! > left.txt']);
    process.kill(Number(readFileSync(join(folder, 'left.txt'), 'utf8')));
    expect(log.lines.join('\n')).toMatch(/told/);
    expect(await store.waiting()).toBe(0);
  }, 20_000);

  test.each([
    ['one that fails', '/bin/sh', ['-c', 'echo no paper >&2; exit 3'], /ended with exit code 3: no paper/],
    ['one that does not read', '/bin/sh', ['-c', 'exec <&-; exit 1'], /ended with exit code 1/],
    ['one that is not there', '/nonexistent/bell', [], /can not be run/],
  ])('%s is tried again later', async (_name, program, args, words) => {
    const log = await run(program, args);
    expect(log.lines.join('\n')).toMatch(words);
    expect(await store.waiting()).toBe(1);
  });
});
