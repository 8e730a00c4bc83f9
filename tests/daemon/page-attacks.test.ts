import { connect } from 'node:net';
import { setTimeout as delay } from 'node:timers/promises';
import { afterEach, describe, expect, test } from 'vitest';
import type { Route } from '../../src/daemon/outside/http/answer.js';
import { clientOf } from '../../src/daemon/outside/http/pace.js';
import type { RunningServer, ServerOptions } from '../../src/daemon/outside/http/server.js';
import { ask, Browser, hidden, problemIn, serveTest, talk } from './http-client.js';
import type { KeptLog } from './worlds.js';

const TOKEN = 'quay-lantern-44-and-more';
/** Something to take, a name that somebody else chose, and an answer that never ends. */
const routes: readonly Route[] = [
  async ({ path, query, method }) => {
    if (path === '/api/v1/secret') return { status: 200, body: { method } };
    if (path === '/named') {
      const name = query.get('name') ?? '';
      return { status: 200, body: 'x', headers: { 'Content-Disposition': `attachment; filename="${name}"` } };
    }
    if (path === '/endless') return { status: 200, type: 'text/event-stream', body: ':\n\n', more: () => undefined };
    return undefined;
  },
];
let server: (RunningServer & { readonly log: KeptLog }) | undefined;

async function begin(more: Partial<ServerOptions> = {}): Promise<number> {
  server = await serveTest({ routes, ...more });
  return server.port;
}

afterEach(() => server?.close());

describe('a name that was made to point here', () => {
  test('is refused on every path, with a sentence that helps whoever named this machine so', async () => {
    const port = await begin();
    for (const host of [
      'printer-news.example',
      `printer-news.example:${port}`,
      '127.0.0.1.printer-news.example',
      'a b',
    ]) {
      for (const path of ['/', '/healthz', '/sign-in', '/api/v1/secret']) {
        expect((await ask(port, path, { headers: { Host: host } })).status).toBe(403);
      }
    }
    expect(await talk(port, 'GET / HTTP/1.1\r\nHost: \r\nConnection: close\r\n\r\n')).toMatch(/^HTTP\/1\.1 403 /);
    const { detail } = problemIn(await ask(port, '/', { headers: { Host: 'printer-news.example' } }));
    expect(detail).toContain('page.hosts');
  });

  test('names of the configuration are taken, in any case', async () => {
    const port = await begin({ hosts: ['printers.example'] });
    for (const host of ['printers.example', `PRINTERS.example:${port}`, 'localhost', '[::1]:80', '192.0.2.7']) {
      expect((await ask(port, '/api/v1/secret', { headers: { Host: host } })).status).toBe(200);
    }
    expect((await ask(port, '/api/v1/secret', { headers: { Host: 'xprinters.example' } })).status).toBe(403);
  });
});

test('paths that climb lead nowhere, and nothing of theirs comes back', async () => {
  const port = await begin();
  const paths = [
    '/../../../../etc/passwd',
    '/%2e%2e/%2e%2e/%2e%2e/etc/passwd',
    '/..%2f..%2f..%2fetc%2fpasswd',
    '/..%5c..%5cetc%5cpasswd',
    '/....//....//etc/passwd',
    '/%00/etc/passwd',
    '/%c0%ae%c0%ae/etc/passwd',
    '//etc/passwd',
    '/api/v1/printers/..%2f..%2fsecret',
    'file:///etc/passwd',
  ];
  for (const path of paths) {
    const { status, text } = await ask(port, path);
    expect({ path, status: status === 404 || status === 400, leaks: /root:|passwd/.test(text) }).toEqual({
      path,
      status: true,
      leaks: false,
    });
  }
});

test('a path that begins with two slashes is a path like any other, and no failure', async () => {
  const port = await begin();
  for (const path of ['//', '///', '//[', '//a:b:c/', '//%', '//healthz', '//localhost/healthz']) {
    const said = await talk(port, `GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`);
    expect({ path, status: /^HTTP\/1\.1 (\d+)/.exec(said)?.[1] }).toEqual({ path, status: '404' });
  }
  expect(server?.log.lines.filter((line) => line.startsWith('error'))).toEqual([]);
});

test('this is no proxy: another machine in the request line, CONNECT and TRACE get nothing', async () => {
  const port = await begin();
  const other = await talk(
    port,
    'GET http://elsewhere.example/api/v1/secret HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n',
  );
  expect(other).toMatch(/^HTTP\/1\.1 403 /);
  expect(await talk(port, 'CONNECT 192.0.2.1:9100 HTTP/1.1\r\nHost: 192.0.2.1\r\n\r\n')).not.toMatch(/^HTTP\/1\.1 2/);
  expect(await talk(port, 'TRACE / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n')).toMatch(/^HTTP\/1\.1 4/);
});

// RFC 9112, section 6.3: a message with both lengths ought to be handled as an error.
test('requests whose length is told twice, broken lines and foreign protocols are refused', async () => {
  const port = await begin();
  const both =
    'POST /api/v1/secret HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /x';
  const twice = 'POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 0\r\nContent-Length: 5\r\n\r\n';
  for (const raw of [
    both,
    twice,
    '\u0016\u0003\u0001\u0002\u0000',
    'GET / HTTP/1.1\r\nHost: a\r\nX\u0000: y\r\n\r\n',
  ]) {
    const heard = await talk(port, raw);
    expect(heard).toMatch(/^HTTP\/1\.1 400 Bad Request\r\n/);
    expect(heard).toContain('application/problem+json');
  }
});

describe('too much', () => {
  test('a header, a body with its length told, a body in chunks', async () => {
    const port = await begin();
    const header = await talk(port, `GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`);
    expect(header).toMatch(/^HTTP\/1\.1 431 /);
    expect(header).toContain('at most 16 kB');
    const type = 'Content-Type: application/x-www-form-urlencoded';
    const told = await talk(
      port,
      `POST /api/v1/secret HTTP/1.1\r\nHost: localhost\r\n${type}\r\nContent-Length: 1000000000\r\n\r\n`,
    );
    expect(told).toMatch(/^HTTP\/1\.1 413 /);
    const chunk = `1000\r\n${'x'.repeat(4096)}\r\n`;
    const chunked = await talk(
      port,
      `POST /api/v1/secret HTTP/1.1\r\nHost: localhost\r\n${type}\r\nTransfer-Encoding: chunked\r\n\r\n`,
      chunk.repeat(3),
      chunk.repeat(3),
    );
    expect(chunked).toMatch(/^HTTP\/1\.1 413 /);
  });

  test('requests that trickle in are cut: the header, the body', async () => {
    const port = await begin();
    const trickle = (start: string) =>
      new Promise<string>((resolve) => {
        const socket = connect({ host: '127.0.0.1', port }, () => socket.write(start));
        const drop = setInterval(() => socket.write('x'), 500);
        let heard = '';
        socket.on('data', (part) => {
          heard += part.toString();
        });
        socket.on('error', () => undefined);
        socket.on('close', () => {
          clearInterval(drop);
          resolve(heard);
        });
      });
    const type = 'Content-Type: application/x-www-form-urlencoded';
    const [header, body] = await Promise.all([
      trickle('GET / HTTP/1.1\r\nHost: localhost\r\nX: '),
      trickle(`POST /api/v1/secret HTTP/1.1\r\nHost: localhost\r\n${type}\r\nContent-Length: 9000\r\n\r\n`),
    ]);
    for (const heard of [header, body]) {
      expect(heard).toMatch(/^HTTP\/1\.1 408 Request Timeout\r\n/);
      expect(heard).toContain('took too long');
    }
  }, 60_000);

  test('requests: one client is told to wait, and another is still answered', async () => {
    const port = await begin({ paces: { client: 5, all: 1_000, actions: 2 } });
    const post = () => ask(port, '/api/v1/secret', { method: 'POST' });
    expect((await post()).status).toBe(200);
    expect((await post()).status).toBe(200);
    expect((await post()).status).toBe(429);
    await ask(port, '/api/v1/secret');
    await ask(port, '/api/v1/secret');
    const many = await ask(port, '/api/v1/secret');
    expect(problemIn(many)).toMatchObject({ status: 429, title: 'Too Many Requests' });
    expect(Number(many.headers['retry-after'])).toBeGreaterThan(0);
  });

  test('clients of one IPv6 network are one, those of two are two', () => {
    expect(clientOf('2001:db8:1:2:aaaa::1')).toBe(clientOf('2001:db8:1:2:bbbb::9'));
    expect(clientOf('2001:db8:1:2::1')).not.toBe(clientOf('2001:db8:1:3::1'));
    expect(clientOf('::ffff:192.0.2.7')).toBe('192.0.2.7');
  });

  test('answers that never end: a client gets twenty, the rest is still served', async () => {
    const port = await begin();
    const open = await Promise.all(
      Array.from({ length: 21 }, async () => {
        const socket = connect({ host: '127.0.0.1', port });
        socket.write('GET /endless HTTP/1.1\r\nHost: localhost\r\n\r\n');
        const first = await new Promise<string>((resolve) => socket.once('data', (part) => resolve(part.toString())));
        return { socket, status: /^HTTP\/1\.1 (\d+)/.exec(first)?.[1] };
      }),
    );
    expect(open.map(({ status }) => status).sort()).toEqual([...Array(20).fill('200'), '503']);
    expect((await ask(port, '/api/v1/secret')).status).toBe(200);
    for (const { socket } of open) socket.destroy();
    for (let i = 0; i < 100; i++) {
      const again = connect({ host: '127.0.0.1', port });
      again.write('GET /endless HTTP/1.1\r\nHost: localhost\r\n\r\n');
      const first = await new Promise<string>((resolve) => again.once('data', (part) => resolve(part.toString())));
      again.destroy();
      if (first.startsWith('HTTP/1.1 200')) return;
      await delay(50);
    }
    throw new Error('places were not given back');
  });

  test('answers that never end: whoever hangs up while one is being made keeps no place', async () => {
    let [begun, made] = [0, 0];
    let leave: () => void = () => undefined;
    const left = new Promise<void>((resolve) => {
      leave = resolve;
    });
    const slow: Route = async ({ path }) => {
      if (path !== '/slow') return undefined;
      begun++;
      await left;
      // Their end has reached this side by then.
      await delay(100);
      made++;
      return { status: 200, type: 'text/event-stream', body: ':\n\n', more: () => undefined };
    };
    const port = await begin({ routes: [slow, ...routes] });
    const sockets = Array.from({ length: 20 }, () => {
      const socket = connect({ host: '127.0.0.1', port });
      socket.write('GET /slow HTTP/1.1\r\nHost: localhost\r\n\r\n');
      return socket;
    });
    for (let i = 0; i < 200 && begun < 20; i++) await delay(50);
    for (const socket of sockets) socket.destroy();
    leave();
    for (let i = 0; i < 200 && made < 20; i++) await delay(50);
    expect(made).toBe(20);
    const socket = connect({ host: '127.0.0.1', port });
    socket.write('GET /endless HTTP/1.1\r\nHost: localhost\r\n\r\n');
    const first = await new Promise<string>((resolve) => socket.once('data', (part) => resolve(part.toString())));
    socket.destroy();
    expect(first).toMatch(/^HTTP\/1\.1 200/);
  });
});

test('a name with line breaks in it becomes no header of its own', async () => {
  const port = await begin();
  const heard = await talk(
    port,
    'GET /named?name=a%0d%0aSet-Cookie:%20x=y HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n',
  );
  expect(heard).toMatch(/^HTTP\/1\.1 500 /);
  expect(heard).not.toMatch(/^set-cookie/im);
  expect(heard).not.toContain('at ');
});

describe('guessing the token', () => {
  const guess = (port: number, token: string) =>
    ask(port, '/api/v1/secret', { headers: { Authorization: `Bearer ${token}` } });

  test('ends after ten, for whoever guessed, even with the right one; who is signed in stays', async () => {
    const port = await begin({ token: TOKEN });
    const browser = new Browser(port);
    const csrf = hidden((await browser.get('/sign-in')).text, 'csrf');
    expect((await browser.post('/sign-in', { csrf, token: TOKEN })).status).toBe(303);
    const started = performance.now();
    const tried = await Promise.all(Array.from({ length: 10 }, (_, i) => guess(port, `guess-${i}`)));
    expect(tried.map(({ status }) => status)).toEqual(Array(10).fill(401));
    // The last of ten waits longest: each wrong one doubles what the next costs, from a tenth of a second on.
    expect(performance.now() - started).toBeGreaterThan(2_500);
    const closed = await guess(port, TOKEN);
    expect(problemIn(closed)).toMatchObject({ status: 429, detail: expect.stringContaining('wrong tokens') });
    expect(Number(closed.headers['retry-after'])).toBeGreaterThan(600);
    const form = new Browser(port);
    const again = hidden((await form.get('/sign-in')).text, 'csrf');
    const page = await form.post('/sign-in', { csrf: again, token: TOKEN });
    expect({ status: page.status, type: page.headers['content-type'] }).toEqual({
      status: 429,
      type: 'text/html; charset=utf-8',
    });
    expect((await browser.get('/api/v1/secret')).status).toBe(200);
    const refused = server?.log.lines.filter((line) => line.includes('somebody tried to act')) ?? [];
    expect(refused).toHaveLength(11);
    expect(refused.join()).not.toContain('guess-');
  }, 30_000);
});

test('the log of actions tells who, what and what came of it, and nothing of what was in the form', async () => {
  const port = await begin({ token: TOKEN });
  const browser = new Browser(port);
  const csrf = hidden((await browser.get('/sign-in')).text, 'csrf');
  await browser.post('/sign-in', { csrf, token: TOKEN });
  await browser.post('/api/v1/secret', { csrf: 'wrong', note: 'a private word' });
  await ask(port, '/api/v1/secret', { method: 'POST', headers: { Authorization: `Bearer ${TOKEN}` } });
  const lines = server?.log.lines ?? [];
  expect(lines).toEqual([
    expect.stringMatching(
      /^info somebody acted {"action":"POST \/sign-in","by":"session [0-9a-f]{6}","from":"127.0.0.1","status":303}$/,
    ),
    expect.stringMatching(
      /^warn somebody tried to act {"action":"POST \/api\/v1\/secret","by":"session [0-9a-f]{6}","from":"127.0.0.1","status":403}$/,
    ),
    'info somebody acted {"action":"POST /api/v1/secret","by":"token","from":"127.0.0.1","status":200}',
  ]);
  expect(lines.join()).not.toMatch(/private word|quay-lantern/);
});
