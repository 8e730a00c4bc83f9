import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writtenOf } from '../../src/daemon/outside/http/written.js';
import { ask, serveTest } from './http-client.js';

const DOCUMENT = { printers: Array.from({ length: 500 }, (_, i) => ({ name: `printer-${i}` })) };
const PLAIN = `${JSON.stringify(DOCUMENT)}\n`;
const ARCHIVE = Buffer.alloc(10_000, 'PK');
let server: Awaited<ReturnType<typeof serveTest>>;
beforeAll(async () => {
  server = await serveTest({
    routes: [
      async ({ path }) =>
        path === '/document'
          ? { status: 200, body: DOCUMENT }
          : path === '/archive'
            ? { status: 200, body: ARCHIVE, type: 'application/zip' }
            : undefined,
    ],
  });
});
afterAll(() => server.close());

test('a document that many ask for is written down and compressed once', async () => {
  const one = { ...DOCUMENT };
  expect(writtenOf(one)).toBe(writtenOf(one));
  const made = writtenOf(one).in('gzip');
  expect(writtenOf(one).in('gzip')).toBe(made);
  expect(gunzipSync(await made).toString()).toBe(PLAIN);
  expect(brotliDecompressSync(await writtenOf(one).in('br')).toString()).toBe(PLAIN);
});

// RFC 9110, section 12.5.3.
test.each([
  ['gzip, deflate, br', 'br'],
  ['gzip;q=1, br;q=0.5', 'gzip'],
  ['br;q=0, gzip;q=0.1', 'gzip'],
  ['*', 'br'],
  ['deflate', undefined],
  ['identity', undefined],
  ['identity, gzip;q=0.5', undefined],
])('whoever takes "%s" gets it as %s', async (accepts, coding) => {
  const { headers, body } = await ask(server.port, '/document', { headers: { 'Accept-Encoding': accepts } });
  expect(headers['content-encoding']).toBe(coding);
  const plain = coding === 'br' ? brotliDecompressSync(body) : coding === 'gzip' ? gunzipSync(body) : body;
  expect(plain.toString()).toBe(PLAIN);
  expect(headers['content-length']).toBe(String(body.length));
});

test('without a wish nothing is compressed, and an archive never', async () => {
  expect((await ask(server.port, '/document')).headers['content-encoding']).toBeUndefined();
  const archive = await ask(server.port, '/archive', { headers: { 'Accept-Encoding': 'br, gzip' } });
  expect(archive.headers['content-encoding']).toBeUndefined();
  expect(archive.body.equals(ARCHIVE)).toBe(true);
});

test('what a cache may keep differs by coding', async () => {
  for (const accepts of ['br', 'gzip', 'identity']) {
    const { headers } = await ask(server.port, '/document', { headers: { 'Accept-Encoding': accepts } });
    expect(headers.vary?.toLowerCase()).toContain('accept-encoding');
  }
});
