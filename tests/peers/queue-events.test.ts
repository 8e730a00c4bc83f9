import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { listenToQueues } from '../../src/daemon/outside/queue-events.js';
import type { Net } from '../../src/net/net.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { keptLog } from '../daemon/worlds.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';

/** On loopback the spooler takes no other name for itself. */
const HOST = '127.0.0.1';
const PACE = { leaseSeconds: 60, pullMs: 100, mostPullMs: 100, againMs: 200, refusedMs: 60_000 };

/** RFC 3995 and RFC 3996 as a spooler of another origin reads and writes them. */
describeWithPeers(
  'what queues tell by themselves',
  ['cupsd', 'lpadmin', 'cupsdisable', 'cupsenable', 'ipptool'],
  () => {
    let cups: Cupsd;
    let net: Net;
    let over: AbortController;
    let heard: string[];
    let ended: Promise<void>;
    let log: ReturnType<typeof keptLog>;
    beforeAll(async () => {
      cups = await Cupsd.start(HOST);
      for (const name of ['hall', 'loft']) {
        await cups.tool('lpadmin', '-p', name, '-E', '-v', `socket://${HOST}:1`, '-m', 'raw');
      }
      net = createSystemNet();
    }, 60_000);
    afterAll(() => cups?.stop());
    beforeEach(() => {
      over = new AbortController();
      heard = [];
      log = keptLog();
    });
    afterEach(async () => {
      over.abort();
      await ended;
    });

    function listen(queues: readonly string[], pace = PACE, printerHosts: readonly string[] = ['192.0.2.21']): void {
      ended = listenToQueues({
        net,
        queues: queues.map((name) => ({ uri: cups.uri(name), printer: `printer of ${name}`, printerHosts })),
        heard: (printer) => heard.push(printer),
        log,
        timeoutMs: 2_000,
        signal: over.signal,
        pace,
      });
    }

    async function until(condition: () => boolean | Promise<boolean>): Promise<boolean> {
      for (let tries = 0; tries < 200; tries++) {
        if (await condition()) return true;
        await delay(50);
      }
      return false;
    }

    const told = (words: string) => log.lines.filter((line) => line.includes(words)).length;

    /** The queue's subscriptions, counted by the spooler's own test client (Get-Subscriptions, RFC 3995 section 11.2.5). */
    async function kept(name: string): Promise<number> {
      const file = cups.file(
        'subscriptions.test',
        `{ OPERATION Get-Subscriptions GROUP operation-attributes-tag
         ATTR charset attributes-charset utf-8
         ATTR naturalLanguage attributes-natural-language en
         ATTR uri printer-uri $uri }`,
      );
      const text = await cups
        .tool('ipptool', '-tv', cups.uri(name), file)
        .catch((error: { stdout?: string }) => error.stdout ?? '');
      return text.match(/notify-subscription-id \(integer\)/g)?.length ?? 0;
    }

    test('a queue that somebody pauses says so, and for the right printer', async () => {
      listen(['hall', 'loft']);
      expect(await until(() => told('tells by itself') === 2)).toBe(true);
      // What the spooler still had to tell of the queues' making.
      await delay(1_000);
      heard = [];
      await cups.tool('cupsdisable', 'loft');
      expect(await until(() => heard.length > 0)).toBe(true);
      expect(new Set(heard)).toEqual(new Set(['printer of loft']));
      heard = [];
      await delay(500);
      // Told once, not with every look.
      expect(heard).toEqual([]);
      await cups.tool('cupsenable', 'loft');
      expect(await until(() => heard.length > 0)).toBe(true);
    });

    test('what was subscribed is given back at the end', async () => {
      listen(['hall']);
      expect(await until(async () => (await kept('hall')) === 1)).toBe(true);
      over.abort();
      await ended;
      expect(await kept('hall')).toBe(0);
    });

    test('a lease is renewed before it runs out', async () => {
      listen(['hall'], { ...PACE, leaseSeconds: 2 });
      expect(await until(() => told('tells by itself') === 1)).toBe(true);
      await delay(5_000);
      expect(await kept('hall')).toBe(1);
      expect(told('tells by itself')).toBe(1);
    });

    test('a spooler that ends and comes back is listened to again', async () => {
      listen(['hall']);
      expect(await until(() => told('tells by itself') === 1)).toBe(true);
      cups.kill();
      await cups.ended();
      await delay(400);
      await cups.again();
      await cups.tool('cupsdisable', 'hall');
      expect(await until(() => heard.length > 0)).toBe(true);
      await cups.tool('cupsenable', 'hall');
    });

    test('a queue that is not there takes none, and is let alone', async () => {
      listen(['cellar']);
      expect(await until(() => told('takes no subscription') === 1)).toBe(true);
      await delay(500);
      expect(log.lines).toHaveLength(1);
    });

    test.each([['127.0.0.1'], ['localhost']])(
      'nothing is subscribed at the printer itself, known as %s',
      async (host) => {
        listen(['hall'], PACE, [host]);
        await ended;
        expect(told('printers are only read')).toBe(1);
        expect(await kept('hall')).toBe(0);
      },
    );
  },
);
