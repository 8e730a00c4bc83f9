import { once } from 'node:events';
import { setTimeout as delay, setImmediate } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import { expect, onTestFinished, test } from 'vitest';
import { httpExchange } from '../../src/net/http.js';
import { SnmpFinder } from '../../src/net/snmp-finder.js';
import { tcpConnect } from '../../src/net/tcp.js';

// A crowded machine may let this program stand still for longer than an answer may take. What came in meanwhile was in time.

const HOST = '127.31.0.7';
const TIMEOUT_MS = 150;
const ANSWER_MS = 80;

/** Stands still, as a program does that gets no processor, until after the time for an answer. */
async function starve(): Promise<void> {
  await delay(20);
  // From here the loop goes on to its timers, not to what came in.
  await setImmediate();
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 2 * TIMEOUT_MS);
}

/** A server with a thread of its own, which goes on meanwhile. Gives its port. */
async function server(code: string): Promise<number> {
  const worker = new Worker(`const { parentPort } = require('node:worker_threads');\n${code}`, { eval: true });
  onTestFinished(async () => void (await worker.terminate()));
  const [port] = (await once(worker, 'message')) as [number];
  return port;
}

const http = `const server = require('node:http').createServer((_, response) => setTimeout(() => response.end('ok'), ${ANSWER_MS}));
  server.listen(0, '${HOST}', () => parentPort.postMessage(server.address().port));`;

/** A GetNextRequest (RFC 3416 section 3: tag 0xa1) comes back as a Response (0xa2). */
const snmp = `const socket = require('node:dgram').createSocket('udp4');
  socket.on('message', (bytes, { port, address }) => {
    bytes[bytes.indexOf(0xa1)] = 0xa2;
    setTimeout(() => socket.send(bytes, port, address), ${ANSWER_MS});
  });
  socket.bind(0, '${HOST}', () => parentPort.postMessage(socket.address().port));`;

test('a connection that came about meanwhile', { retry: 3 }, async () => {
  const port = await server(http);
  const result = tcpConnect(HOST, port, TIMEOUT_MS);
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 2 * TIMEOUT_MS);
  expect(await result).toMatchObject({ outcome: 'answered', value: 'open' });
});

test('a reply over HTTP', { retry: 3 }, async () => {
  const port = await server(http);
  const url = `http://${HOST}:${port}/`;
  const result = httpExchange({ url, method: 'GET', timeoutMs: TIMEOUT_MS, maxBytes: 100 });
  await starve();
  expect(await result).toMatchObject({ outcome: 'answered', status: 200 });
});

test('an SNMP agent', { retry: 3 }, async () => {
  const port = await server(snmp);
  const credentials = [{ version: '2c', community: 'public', label: 'community 1' }] as const;
  const finder = new SnmpFinder({ credentials, timeoutMs: TIMEOUT_MS, retries: 0 });
  const found = finder.find(HOST, [port]);
  await starve();
  expect(await found).toMatchObject({ port });
  finder.close();
});
