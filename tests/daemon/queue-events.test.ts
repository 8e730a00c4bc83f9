import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { listenToQueues } from '../../src/daemon/outside/queue-events.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { keptLog } from './worlds.js';

/** Create-Printer-Subscriptions (RFC 3995 section 11.1.2). */
const CREATE = 0x16;
const PACE = { leaseSeconds: 60, pullMs: 100, mostPullMs: 100, againMs: 50, refusedMs: 60_000 };

let server: Server;
let created: number;
let over: AbortController;
let ended: Promise<void>;

/** An attribute (RFC 8010 section 3.1.4). */
function attribute(tag: number, name: string, value: Buffer): Buffer {
  const length = (octets: Buffer) => Buffer.from([octets.length >> 8, octets.length & 0xff]);
  const named = Buffer.from(name);
  return Buffer.concat([Buffer.from([tag]), length(named), named, length(value), value]);
}

/** A spooler that agrees to every subscription and has forgotten it by the next question: client-error-not-found (RFC 8011 B.1.4.7). */
function forgetful(request: Buffer): Buffer {
  const asked = request.readUInt16BE(2);
  if (asked === CREATE) created += 1;
  return Buffer.concat([
    Buffer.from([2, 0, ...(asked === CREATE ? [0, 0] : [4, 6])]),
    request.subarray(4, 8),
    Buffer.from([1]),
    attribute(0x47, 'attributes-charset', Buffer.from('utf-8')),
    attribute(0x48, 'attributes-natural-language', Buffer.from('en')),
    ...(asked === CREATE
      ? [Buffer.from([6]), attribute(0x21, 'notify-subscription-id', Buffer.from([0, 0, 0, 7]))]
      : []),
    Buffer.from([3]),
  ]);
}

beforeEach(async () => {
  created = 0;
  over = new AbortController();
  server = createServer((request, response) => {
    const parts: Buffer[] = [];
    request.on('data', (part: Buffer) => parts.push(part));
    request.on('end', () => {
      response.setHeader('Content-Type', 'application/ipp');
      response.end(forgetful(Buffer.concat(parts)));
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
});
afterEach(async () => {
  over.abort();
  await ended;
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
});

/** `unresolved`: questions for the printer's name that come too early. */
function listen(unresolved = 0): ReturnType<typeof keptLog> {
  const log = keptLog();
  const net = createSystemNet();
  let asked = 0;
  ended = listenToQueues({
    net: {
      ...net,
      resolve: async () => ({ addresses: asked++ < unresolved ? [] : ['192.0.2.21'] }) as never,
    },
    queues: [
      {
        uri: `ipp://127.0.0.1:${(server.address() as AddressInfo).port}/printers/hall`,
        printer: 'hall',
        printerHosts: ['printer.example'],
      },
    ],
    heard: () => undefined,
    log,
    timeoutMs: 2_000,
    signal: over.signal,
    pace: PACE,
  });
  return log;
}

test('a queue that forgets at once what it agreed to is not asked without end', async () => {
  listen();
  await expect.poll(() => created).toBeGreaterThan(0);
  await delay(1_000);
  expect(created).toBeLessThanOrEqual(12);
});

test('a name that does not resolve yet is asked for again, and told once', async () => {
  const log = listen(3);
  await expect.poll(() => created, { timeout: 5_000 }).toBeGreaterThan(0);
  expect(log.lines.filter((line) => line.includes('before its name resolves'))).toHaveLength(1);
});
