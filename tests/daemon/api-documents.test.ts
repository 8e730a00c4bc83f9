import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
import { Validator } from '@seriousme/openapi-schema-validator';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Agent } from '../../src/daemon/agent.js';
import { actionRoute } from '../../src/daemon/api/action-routes.js';
import { listRoute } from '../../src/daemon/api/list-routes.js';
import { openApiRoute } from '../../src/daemon/api/openapi.js';
import type { IncidentsDocument } from '../../src/model/incident.js';
import { openStore, type Store } from '../../src/store/store.js';
import { published } from '../schemas/validator.js';
import { T0 } from './conditions.js';
import { ask, problemIn, serveTest } from './http-client.js';

const COUNT = 25;
let folder: string;
let store: Store;
let server: Awaited<ReturnType<typeof serveTest>>;
let sweeps = 0;
let counted = 0;
const names = ['archive', 'canteen', 'Front-desk', 'front-desk', 'quay'];
const agent = {
  printersDocument: () => ({
    schema: 'outfeed.printers/1',
    printers: names
      .map((name) => ({
        name,
        address: '192.0.2.1',
        silent: null,
        layer: null,
        cause: null,
        since: null,
        lastAnswerAt: null,
      }))
      .sort((a, b) => (a.name < b.name ? -1 : 1)),
  }),
  sweepSoon: () => {
    sweeps++;
  },
} as unknown as Agent;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-lists-'));
  store = await openStore('sqlite:a.db', { site: 'a', folder });
  await store.apply(
    Array.from({ length: COUNT }, (_, i) => ({
      kind: 'incident' as const,
      incident: {
        id: `i${i}`,
        // Two names that differ in case only, and several that began in the same moment.
        printer: i % 2 === 0 ? 'front-desk' : 'Front-desk',
        layer: 'media' as const,
        cause: 'media-empty',
        component: null,
        startedAt: T0 + Math.floor(i / 3) * 1_000,
        endedAt: i < 20 ? T0 + 100_000 : null,
        affects: [i % 2 === 0 ? 'front-desk' : 'Front-desk'],
        flapping: false,
        told: false,
      },
    })),
  );
  const counting: Store = {
    ...store,
    incidents: (asked) => {
      counted++;
      return store.incidents(asked);
    },
  };
  server = await serveTest({
    routes: [listRoute(agent, counting, Date.now), actionRoute(agent, store, () => T0), openApiRoute('0.0.0')],
  });
});
afterAll(async () => {
  await server.close();
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Follows the header Link to the end. */
async function all(
  path: string,
): Promise<{ readonly parts: number; readonly documents: readonly Record<string, unknown>[] }> {
  const documents: Record<string, unknown>[] = [];
  for (let next: string | undefined = path; next !== undefined; ) {
    const answer = await ask(server.port, next);
    expect(answer.status).toBe(200);
    documents.push(JSON.parse(answer.text));
    // RFC 8288, section 3.
    next = /^<([^>]+)>; rel="next"$/.exec(answer.headers.link?.toString() ?? '')?.[1];
    expect(documents.length).toBeLessThan(50);
  }
  return { parts: documents.length, documents };
}

describe('lists in parts', () => {
  test.each([1, 4, 25, 1_000])('incidents by %d: each once, newest first, as in the whole', async (limit) => {
    const whole = JSON.parse((await ask(server.port, '/api/v1/incidents')).text) as IncidentsDocument;
    expect(whole.incidents).toHaveLength(COUNT);
    const { documents, parts } = await all(`/api/v1/incidents?limit=${limit}`);
    expect(documents.flatMap(({ incidents }) => incidents)).toEqual(whole.incidents);
    expect(parts).toBe(Math.ceil(COUNT / limit));
    for (const document of documents) expect(published('incidents')(document)).toBe(true);
  });

  test('what is asked for besides stays', async () => {
    const { documents } = await all('/api/v1/incidents?limit=2&printer=front-desk&open=true');
    const ids = (documents as unknown as IncidentsDocument[]).flatMap(({ incidents }) => incidents.map(({ id }) => id));
    expect(ids.sort()).toEqual(['i20', 'i22', 'i24']);
  });

  test('printers, whole unless a limit is asked for', async () => {
    expect((await ask(server.port, '/api/v1/printers')).headers.link).toBeUndefined();
    const { documents, parts } = await all('/api/v1/printers?limit=2');
    expect(parts).toBe(3);
    expect(documents.flatMap(({ printers }) => (printers as { name: string }[]).map(({ name }) => name))).toEqual(
      [...names].sort(),
    );
  });

  test.each(['limit=0', 'limit=x', 'limit=1001', 'limit=1.5', 'cursor=x', 'cursor=W10', 'cursor='])(
    '%s is refused',
    async (query) => {
      for (const list of ['printers', 'incidents']) {
        expect(problemIn(await ask(server.port, `/api/v1/${list}?${query}`))).toMatchObject({
          status: 400,
          media: 'application/problem+json',
        });
      }
    },
  );

  test('a cursor whose time is none is not from here, whatever its form', async () => {
    for (const time of ['soon', '1e999', '1.5']) {
      const cursor = Buffer.from(JSON.stringify([time, 'i1'])).toString('base64url');
      expect(problemIn(await ask(server.port, `/api/v1/incidents?cursor=${cursor}`))).toMatchObject({
        status: 400,
        detail: expect.stringContaining('not from here'),
      });
    }
  });

  test('reliability is counted once for all who ask within a while', async () => {
    await Promise.all(Array.from({ length: 20 }, () => ask(server.port, '/api/v1/incidents')));
    expect(counted).toBe(1);
  });
});

// RFC 9110, sections 8.8.3, 13.1.2 and 15.4.5.
describe('a document that is known already is not sent again', () => {
  const get = (header: Record<string, string> = {}, method = 'GET') =>
    ask(server.port, '/api/v1/printers', { headers: header, method });
  test('by its ETag, compared weakly, alone or in a list; HEAD says the same', async () => {
    const { headers } = await get();
    const etag = headers.etag ?? '';
    expect(etag).toMatch(/^W\/"[\w-]{22}"$/);
    expect(headers['cache-control']).toBe('private, no-cache');
    for (const known of [etag, etag.slice(2), `"x", ${etag}`, '*']) {
      for (const method of ['GET', 'HEAD']) {
        const again = await get({ 'If-None-Match': known }, method);
        expect({ status: again.status, octets: again.body.length, etag: again.headers.etag }).toEqual({
          status: 304,
          octets: 0,
          etag,
        });
      }
    }
    expect((await get({ 'If-None-Match': '"other"' })).status).toBe(200);
    const head = await get({}, 'HEAD');
    expect({ status: head.status, octets: head.body.length, etag: head.headers.etag }).toEqual({
      status: 200,
      octets: 0,
      etag,
    });
  });
});

test('long answers are compressed as the asker can read them', async () => {
  const get = (coding: string) => ask(server.port, '/api/v1/openapi.json', { headers: { 'Accept-Encoding': coding } });
  const plain = await get('identity');
  const brotli = await get('gzip, br');
  const gzip = await get('gzip');
  expect([plain, brotli, gzip].map(({ headers }) => headers['content-encoding'])).toEqual([undefined, 'br', 'gzip']);
  expect(brotliDecompressSync(brotli.body).toString()).toBe(plain.text);
  expect(gunzipSync(gzip.body).toString()).toBe(plain.text);
  expect(gzip.body.length).toBeLessThan(plain.body.length / 3);
  expect(gzip.headers.vary?.toLowerCase()).toContain('accept-encoding');
});

// OpenAPI Specification 3.1, checked by a validator that nobody here wrote.
describe('the description of the API', () => {
  test('is an OpenAPI 3.1 document whose references lead somewhere', async () => {
    const { text } = await ask(server.port, '/api/v1/openapi.json');
    const validator = new Validator();
    const outcome = await validator.validate(JSON.parse(text));
    expect(outcome).toMatchObject({ valid: true });
    expect(validator.version).toBe('3.1');
    validator.resolveRefs();
  });

  test('names every document of the contract, and no path that is not served', async () => {
    const read = JSON.parse((await ask(server.port, '/api/v1/openapi.json')).text) as {
      paths: Record<string, Record<string, unknown>>;
    };
    const contract = [
      'printers',
      'printers/{name}',
      'printers/{name}/why',
      'supplies',
      'queues',
      'incidents',
      'snapshot',
      'events',
    ];
    expect(Object.keys(read.paths)).toEqual(expect.arrayContaining(contract.map((path) => `/api/v1/${path}`)));
    for (const path of ['/api/v1/printers', '/api/v1/incidents'])
      expect((await ask(server.port, path)).status).toBe(200);
    for (const path of ['/api/v1/sweep', '/api/v1/incidents/i1/acknowledge']) {
      expect((await ask(server.port, path)).headers.allow).toBe('POST');
      expect(read.paths[path.replace('i1', '{id}')]).toHaveProperty('post');
    }
  });
});

describe('actions', () => {
  const post = (path: string, body = '') =>
    ask(server.port, path, { method: 'POST', body, headers: { 'Content-Type': 'application/x-www-form-urlencoded' } });

  test('an incident is acknowledged, with what helped', async () => {
    expect((await post('/api/v1/incidents/i24/acknowledge', 'note=Paper+was+damp')).status).toBe(204);
    const { incidents } = JSON.parse((await ask(server.port, '/api/v1/incidents?limit=1')).text) as IncidentsDocument;
    expect(incidents).toMatchObject([
      { id: 'i24', note: 'Paper was damp', acknowledgedAt: new Date(T0).toISOString() },
    ]);
    for (const id of ['none', '%E0%A4%A', "x'%20or%201=1"]) {
      expect(problemIn(await post(`/api/v1/incidents/${id}/acknowledge`))).toMatchObject({ status: 404 });
    }
  });

  test('a sweep is begun, of what the configuration says and nothing that the asker says', async () => {
    expect((await post('/api/v1/sweep', 'ranges=198.51.100.0/24')).status).toBe(202);
    expect(sweeps).toBe(1);
  });

  test('what can not be done to a thing is said with what can (RFC 9110, section 15.5.6)', async () => {
    const wrong = await post('/api/v1/printers');
    expect(problemIn(wrong)).toMatchObject({ status: 405, title: 'Method Not Allowed' });
    expect(wrong.headers.allow).toBe('GET, HEAD');
    expect((await ask(server.port, '/api/v1/incidents', { method: 'DELETE' })).headers.allow).toBe('GET, HEAD');
  });
});
