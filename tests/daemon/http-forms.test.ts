import { afterEach, describe, expect, test } from 'vitest';
import type { Asked, Route } from '../../src/daemon/outside/http/answer.js';
import type { RunningServer } from '../../src/daemon/outside/http/server.js';
import { ask, Browser, hidden, problemIn, serveTest } from './http-client.js';

const TOKEN = 'quay-lantern-44';
const seen: Asked[] = [];
/** A page with a form, and what the form does. */
const page: Route = async (asked) => {
  if (asked.path === '/') {
    const body = `<form method="post" action="/act"><input name="csrf" value="${asked.csrf}">${asked.signedIn}</form>`;
    return { status: 200, body, type: 'text/html; charset=utf-8' };
  }
  if (asked.path !== '/act' && asked.path !== '/api/v1/act') return undefined;
  seen.push(asked);
  return { status: 200, body: { did: asked.form?.get('what') ?? null } };
};
let server: RunningServer | undefined;

afterEach(async () => {
  await server?.close();
  seen.length = 0;
});

async function begin(token?: string): Promise<Browser> {
  server = await serveTest({ routes: [page], token });
  return new Browser(server.port);
}

describe('forms where nobody has to sign in', () => {
  test('one of our own arrives, with its fields', async () => {
    const browser = await begin();
    const csrf = hidden((await browser.get('/')).text, 'csrf');
    expect(browser.given).toEqual([expect.stringMatching(/^outfeed-form-\d+=.+; Path=\/; HttpOnly; SameSite=Strict$/)]);
    const sent = await browser.post('/act', { csrf, what: 'read now' });
    expect({ status: sent.status, did: JSON.parse(sent.text) }).toEqual({ status: 200, did: { did: 'read now' } });
    // An older token of the same browser holds too: two tabs are open.
    await browser.get('/');
    expect((await browser.post('/act', { csrf, what: 'again' })).status).toBe(200);
    expect(seen.map(({ by, from, signedIn }) => ({ by, from, signedIn }))[0]).toEqual({
      by: 'anybody',
      from: '127.0.0.1',
      signedIn: false,
    });
  });

  test('without its token, with a made-up one, or with that of another browser it is refused', async () => {
    const browser = await begin();
    const own = hidden((await browser.get('/')).text, 'csrf');
    const stranger = new Browser(browser.port);
    const other = hidden((await stranger.get('/')).text, 'csrf');
    for (const csrf of ['', 'x', other, `${own}x`, own.slice(0, -1)]) {
      expect(problemIn(await browser.post('/act', { csrf }))).toMatchObject({
        status: 403,
        media: 'application/problem+json',
        detail: expect.stringContaining('load the page again'),
      });
    }
    expect((await new Browser(browser.port).post('/act', { csrf: own })).status).toBe(403);
    expect(seen).toEqual([]);
  });

  test('from another origin, another port, or without one that can be told, it is refused though its token is right', async () => {
    const browser = await begin();
    const csrf = hidden((await browser.get('/')).text, 'csrf');
    for (const Origin of ['https://elsewhere.example', `http://127.0.0.1:${browser.port + 1}`, 'null', 'nonsense']) {
      expect((await browser.post('/act', { csrf }, { Origin })).status).toBe(403);
    }
    for (const site of ['cross-site', 'same-site']) {
      expect((await browser.post('/act', { csrf }, { 'Sec-Fetch-Site': site })).status).toBe(403);
    }
    expect(seen).toEqual([]);
  });

  test('an API action: a program needs nothing, a browser of ours its token in a header or a field', async () => {
    const browser = await begin();
    expect((await ask(browser.port, '/api/v1/act', { method: 'POST' })).status).toBe(200);
    const csrf = hidden((await browser.get('/')).text, 'csrf');
    expect((await browser.post('/api/v1/act', {})).status).toBe(403);
    expect((await browser.post('/api/v1/act', {}, { 'X-CSRF-Token': csrf })).status).toBe(200);
    expect((await browser.post('/api/v1/act', { csrf })).status).toBe(200);
    const json = { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: '{"what":"by JSON"}' };
    expect(JSON.parse((await ask(browser.port, '/api/v1/act', json)).text)).toEqual({ did: 'by JSON' });
  });

  test('a body too long, of another kind, or broken is refused', async () => {
    const { port } = await begin();
    const post = (type: string, body: string) =>
      ask(port, '/api/v1/act', { method: 'POST', headers: { 'Content-Type': type }, body });
    expect(problemIn(await post('application/x-www-form-urlencoded', 'a='.padEnd(16 * 1024 + 1, 'x')))).toMatchObject({
      status: 413,
      detail: expect.stringContaining('16 kB'),
    });
    expect((await post('application/x-www-form-urlencoded', 'a='.padEnd(16 * 1024, 'x'))).status).toBe(200);
    expect(problemIn(await post('text/plain', 'what=x'))).toMatchObject({ status: 415 });
    for (const body of ['{', '[1]', '"x"', '{"what":{}}', '{"what":1}']) {
      expect(problemIn(await post('application/json', body))).toMatchObject({ status: 400 });
    }
  });
});

describe('signing in', () => {
  test('a browser is led to the form, back to where it wanted, and out again', async () => {
    const browser = await begin(TOKEN);
    const led = await browser.get('/act?a=b');
    expect({ status: led.status, to: led.headers.location }).toEqual({
      status: 303,
      to: `/sign-in?next=${encodeURIComponent('/act?a=b')}`,
    });
    const form = (await browser.get(led.headers.location ?? '')).text;
    const fields = { csrf: hidden(form, 'csrf'), next: hidden(form, 'next') };
    const wrong = await browser.post('/sign-in', { ...fields, token: 'something' });
    expect(wrong.status).toBe(403);
    expect(wrong.text).toContain('That is not the token');
    const right = await browser.post('/sign-in', { ...fields, token: TOKEN });
    expect({ status: right.status, to: right.headers.location }).toEqual({ status: 303, to: '/act?a=b' });
    expect(browser.given.filter((line) => /^outfeed-\d+=[^;]{32};/.test(line))).toEqual([
      expect.stringMatching(/; Max-Age=43200; Path=\/; HttpOnly; SameSite=Strict$/),
    ]);
    const home = await browser.get('/');
    expect(home.text).toContain('true');
    const csrf = hidden(home.text, 'csrf');
    expect((await browser.post('/act', { csrf })).status).toBe(200);
    expect(seen.at(-1)?.by).toMatch(/^session [0-9a-f]{6}$/);
    // The token of before the sign-in does not hold for the session.
    expect((await browser.post('/act', { csrf: fields.csrf })).status).toBe(403);
    const before = new Map(browser.cookies);
    expect((await browser.post('/sign-out', { csrf: 'x' })).status).toBe(403);
    expect((await browser.post('/sign-out', { csrf })).headers.location).toBe('/sign-in');
    // The old cookie is worth nothing any more.
    for (const [name, value] of before) browser.cookies.set(name, value);
    expect((await browser.get('/')).status).toBe(303);
  });

  test('the form is refused without its token, and leads to no other machine', async () => {
    const browser = await begin(TOKEN);
    expect((await browser.post('/sign-in', { token: TOKEN })).status).toBe(403);
    for (const next of [
      'https://elsewhere.example/',
      '//elsewhere.example',
      '/\\elsewhere.example',
      '/.//elsewhere.example/',
      '/a/..//elsewhere.example/',
      'act',
      '/a\r\nX: y',
    ]) {
      const csrf = hidden((await browser.get('/sign-in')).text, 'csrf');
      const to = (await browser.post('/sign-in', { csrf, token: TOKEN, next })).headers.location ?? '';
      expect(new URL(to, 'http://here.example').origin).toBe('http://here.example');
      browser.cookies.clear();
    }
  });

  test('programs: 401 with the ways to sign in, then by Bearer and Basic', async () => {
    const { port } = await begin(TOKEN);
    const none = await ask(port, '/api/v1/act');
    expect(problemIn(none)).toMatchObject({ status: 401, title: 'Unauthorized' });
    expect(none.headers['www-authenticate']).toBe('Bearer, Basic realm="outfeed", charset="UTF-8"');
    const basic = `Basic ${Buffer.from(`anybody:${TOKEN}`).toString('base64')}`;
    for (const Authorization of [`Bearer ${TOKEN}`, basic]) {
      expect((await ask(port, '/api/v1/act', { method: 'POST', headers: { Authorization } })).status).toBe(200);
      // A browser sends Basic by itself to whoever asked once: then it says from where.
      const forged = { Authorization, Origin: 'https://elsewhere.example' };
      expect((await ask(port, '/api/v1/act', { method: 'POST', headers: forged })).status).toBe(403);
    }
    for (const Authorization of ['Bearer x', 'Bearer', `Basic ${TOKEN}`, TOKEN]) {
      expect((await ask(port, '/api/v1/act', { headers: { Authorization } })).status).toBe(401);
    }
  });
});

// Content Security Policy Level 3; Fetch, section 3.7 (CORP); HTML, section 7.1.3 (COOP); Referrer Policy, section 3.
test('a page is shown under the strict policy', async () => {
  const browser = await begin();
  const { headers } = await browser.get('/');
  expect(headers).toMatchObject({
    'content-type': 'text/html; charset=utf-8',
    'content-security-policy':
      "default-src 'none';script-src 'self';style-src 'self';img-src 'self' data:;connect-src 'self';form-action 'self';frame-ancestors 'none';base-uri 'none'",
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'same-origin',
    'cross-origin-opener-policy': 'same-origin',
    'cross-origin-resource-policy': 'same-origin',
    'x-frame-options': 'DENY',
  });
  expect(headers['x-powered-by']).toBeUndefined();
  expect(headers.server).toBeUndefined();
});

test('what the page of another site wants to load into itself is refused, a link to here is not', async () => {
  const { port } = await begin();
  const from = (mode: string) => ({ 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': mode });
  expect((await ask(port, '/', { headers: from('no-cors') })).status).toBe(403);
  expect((await ask(port, '/', { headers: from('navigate') })).status).toBe(200);
});
