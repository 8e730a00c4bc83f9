import { afterEach, describe, expect, test } from 'vitest';
import type { ServerOptions } from '../../src/daemon/outside/http/server.js';
import { refusedPage } from '../../src/page/refused.js';
import { ENGLISH } from '../../src/page/words.js';
import { type Answered, ask, Browser, problemIn, serveTest } from './http-client.js';

const TOKEN = 'quay-lantern-44-and-more';
const HTML = { Accept: 'text/html,application/xhtml+xml,*/*;q=0.8' };
let server: Awaited<ReturnType<typeof serveTest>> | undefined;
afterEach(() => server?.close());

async function begin(more: Partial<ServerOptions> = {}): Promise<Browser> {
  const page: ServerOptions['refusedPage'] = (refused) => refusedPage(refused, '/assets/page.css', ENGLISH);
  const fails: ServerOptions['routes'] = [
    async ({ path }) => {
      if (path === '/broken' || path === '/api/broken') throw new Error('<b>inside</b>');
      return undefined;
    },
  ];
  server = await serveTest({ routes: fails, refusedPage: page, ...more });
  return new Browser(server.port);
}

function pageIn({ status, headers, text }: Answered) {
  const said = (element: string) => new RegExp(`<${element}>([^<]*)</${element}>`).exec(text)?.[1];
  expect(text).toContain('<link rel="stylesheet" href="/assets/page.css">');
  expect(headers['content-security-policy']).toContain("default-src 'none'");
  const way = /<a class="button" href="([^"]*)">/.exec(text)?.[1];
  return { status, media: headers['content-type'], title: said('h1'), sentence: said('p'), way };
}

describe('a browser is told in a page why its request came to nothing', () => {
  const media = 'text/html; charset=utf-8';

  test('a form that is too old', async () => {
    const browser = await begin();
    expect(pageIn(await browser.post('/sweep', { csrf: 'old' }, HTML))).toEqual({
      status: 403,
      media,
      title: 'That was not done',
      sentence: 'The form is too old, or not from here: load the page again, then send it again.',
      way: '/',
    });
  });

  test('nobody signed in any more: the way leads to the form', async () => {
    const browser = await begin({ token: TOKEN });
    const refused = await browser.post('/sweep', { csrf: 'old' }, HTML);
    expect(pageIn(refused)).toMatchObject({ status: 401, media, title: 'Sign in first', way: '/sign-in' });
    expect(refused.headers['www-authenticate']).toContain('Bearer');
  });

  test('too much, with the time to wait', async () => {
    const browser = await begin({ paces: { client: 1, all: 10, actions: 10 } });
    await browser.get('/');
    const refused = await browser.get('/');
    expect(pageIn(refused)).toMatchObject({ status: 429, media, title: 'That was too much at once' });
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0);
  });

  test('what is not there, and what failed: nothing of its inside', async () => {
    const browser = await begin();
    expect(pageIn(await browser.get('/nothing'))).toMatchObject({ status: 404, media, title: 'There is nothing here' });
    const failed = await browser.get('/broken');
    expect(pageIn(failed)).toMatchObject({ status: 500, media, title: 'That failed' });
    expect(failed.text).not.toContain('inside');
  });
});

test('programs get problem details (RFC 9457), and so does everybody below /api/', async () => {
  const { port } = await begin();
  for (const [path, headers, status] of [
    ['/nothing', {}, 404],
    ['/nothing', { Accept: 'application/json' }, 404],
    ['/nothing', { Accept: '*/*' }, 404],
    ['/broken', {}, 500],
    // No address at all: refused before the policy of pages is set.
    ['/%', HTML, 404],
    ['/api/v1/nothing', HTML, 404],
    ['/api/broken', HTML, 500],
  ] as const) {
    const said = problemIn(await ask(port, path, { headers }));
    expect({ path, said }).toMatchObject({ path, said: { status, media: 'application/problem+json' } });
  }
});
