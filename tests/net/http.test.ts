import { createServer, type Socket } from 'node:net';
import { deflateSync, gzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { httpExchange } from '../../src/net/http.js';
import type { HttpRequest } from '../../src/net/net.js';
import { describeWithPeers } from '../peers/peer.js';
import { type Answer, rawServer, rawTlsServer, reply } from './raw-server.js';

const HOST = '127.31.0.1';

function get(port: number, more: Partial<HttpRequest> = {}): HttpRequest {
  return { url: `http://${HOST}:${port}/`, method: 'GET', timeoutMs: 5_000, maxBytes: 10_000, ...more };
}

async function ask(answer: Answer, more: Partial<HttpRequest> = {}) {
  const { port } = await rawServer(answer);
  return httpExchange(get(port, more));
}

const text =
  (socketText: string): Answer =>
  (socket) =>
    void socket.end(socketText);

describe('complete replies', () => {
  test('a body with its length', async () => {
    const result = await ask(reply('200 OK', ['Server: unit'], 'hello'));
    expect(result).toMatchObject({ outcome: 'answered', status: 200, headers: { server: 'unit' } });
    expect(result.body.toString()).toBe('hello');
    expect(result.error).toBeUndefined();
  });

  test('an empty 200 is an answer with nothing in it', async () => {
    const result = await ask(reply('200 OK', []));
    expect(result).toMatchObject({ outcome: 'answered', status: 200 });
    expect(result.body.length).toBe(0);
  });

  test.each([
    [
      'chunked',
      'HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n3\r\nhel\r\n2\r\nlo\r\n0\r\n\r\n',
    ],
    ['HTTP/1.0, ended by closing', 'HTTP/1.0 200 OK\r\n\r\nhello'],
    [
      'after 100 Continue',
      'HTTP/1.1 100 Continue\r\n\r\nHTTP/1.1 200 OK\r\nContent-Length: 5\r\nConnection: close\r\n\r\nhello',
    ],
    ['after 102 twice', 'HTTP/1.1 102 P\r\n\r\nHTTP/1.1 102 P\r\n\r\nHTTP/1.0 200 OK\r\n\r\nhello'],
    ['bare line feeds', 'HTTP/1.1 200 OK\nContent-Length: 5\nConnection: close\n\nhello'],
  ])('%s', async (_name, octets) => {
    const result = await ask(text(octets));
    expect(result).toMatchObject({ outcome: 'answered', status: 200 });
    expect(result.body.toString()).toBe('hello');
  });

  test('a request with a body carries its length', async () => {
    let seen = '';
    const result = await ask(
      (socket, chunk) => {
        seen += chunk.toString('latin1');
        if (seen.endsWith('abc')) socket.end('HTTP/1.1 200 OK\r\nContent-Length: 0\r\n\r\n');
      },
      { method: 'POST', body: Buffer.from('abc'), headers: { 'content-type': 'application/ipp' } },
    );
    expect(result.outcome).toBe('answered');
    expect(seen).toMatch(/^POST \/ HTTP\/1\.1\r\n/);
    expect(seen).toMatch(/content-length: 3\r\n/i);
    expect(seen).not.toMatch(/transfer-encoding/i);
  });

  // RFC 9112 7.1: size in hexadecimal, the data, at the end a chunk of size 0.
  test('a request may go out in chunks, and the interim 100 of a server may come before or in the middle of it', async () => {
    let seen = '';
    const result = await ask(
      (socket, chunk) => {
        if (seen === '') socket.write('HTTP/1.1 100 Continue\r\n\r\n');
        seen += chunk.toString('latin1');
        if (seen.endsWith('\r\n0\r\n\r\n')) socket.end('HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nhello');
      },
      { method: 'POST', body: Buffer.from('abcdefghijkl'), chunked: true },
    );
    expect(result.body.toString()).toBe('hello');
    expect(seen).toMatch(/transfer-encoding: chunked\r\n/i);
    expect(seen).not.toMatch(/content-length/i);
    expect(seen).toContain('\r\n\r\nc\r\nabcdefghijkl\r\n0\r\n\r\n');
  });

  test.each([401, 403, 404, 500, 503, 505])('status %d is an answer', async (status) => {
    expect(await ask(reply(`${status} X`, []))).toMatchObject({ outcome: 'answered', status });
  });

  test.each(['%lo', '%25lo'])('an address with its interface: ::1%s', async (zone) => {
    let seen = '';
    const { port } = await rawServer((socket, chunk) => {
      seen = chunk.toString('latin1');
      reply('200 OK', [], 'hello')(socket, chunk);
    }, '::1');
    const result = await httpExchange(get(0, { url: `http://[::1${zone}]:${port}/` }));
    expect(result).toMatchObject({ outcome: 'answered', status: 200 });
    expect(seen).toContain(`\r\nhost: [::1]:${port}\r\n`);
  });

  test('426 with an Upgrade header is an answer', async () => {
    const result = await ask(reply('426 Upgrade Required', ['Upgrade: TLS/1.2, HTTP/1.1', 'Connection: Upgrade'], 'x'));
    expect(result).toMatchObject({ outcome: 'answered', status: 426 });
  });

  test.each([
    ['gzip', gzipSync('hello')],
    ['deflate', deflateSync('hello')],
    ['identity', Buffer.from('hello')],
  ])('content coding %s', async (coding, body) => {
    const result = await ask(reply('200 OK', [`Content-Encoding: ${coding}`], body));
    expect(result.outcome).toBe('answered');
    expect(result.body.toString()).toBe('hello');
  });
});

describe('broken and hostile replies are bounded', () => {
  test('nobody listens', async () => {
    expect(await httpExchange(get(1))).toMatchObject({ outcome: 'refused', error: 'ECONNREFUSED', status: null });
  });

  test('a connection and then silence', async () => {
    const result = await ask(() => undefined, { timeoutMs: 200 });
    expect(result).toMatchObject({ outcome: 'silent', error: 'ETIMEDOUT', status: null });
  });

  test('closed without a word', async () => {
    expect(await ask((socket) => void socket.end())).toMatchObject({ outcome: 'failed', error: 'ECONNRESET' });
  });

  test('reset', async () => {
    const result = await ask((socket) => void socket.resetAndDestroy());
    expect(result).toMatchObject({ outcome: 'failed', error: 'ECONNRESET' });
  });

  test('no HTTP at all', async () => {
    const result = await ask(text('@PJL INFO STATUS\r\nCODE=10001\r\n'));
    expect(result.outcome).toBe('garbled');
    expect(result.error).toMatch(/^HPE_/);
  });

  test('a body shorter than promised keeps what came', async () => {
    const result = await ask(text('HTTP/1.1 200 OK\r\nContent-Length: 50\r\n\r\nhello'));
    expect(result).toMatchObject({ outcome: 'garbled', error: 'body-cut', status: 200 });
    expect(result.body.toString()).toBe('hello');
  });

  test('a chunk cut short', async () => {
    const result = await ask(text('HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n50\r\nhello'));
    expect(result).toMatchObject({ outcome: 'garbled', status: 200 });
    expect(result.body.toString()).toBe('hello');
  });

  test('a body that drips for ever', async () => {
    const drip: Answer = (socket) => {
      socket.write('HTTP/1.1 200 OK\r\n\r\n');
      const timer = setInterval(() => socket.write('.'), 20);
      socket.on('close', () => clearInterval(timer));
    };
    expect(await ask(drip, { timeoutMs: 300 })).toMatchObject({ outcome: 'failed', error: 'body-slow', status: 200 });
  });

  test('a body that pours for ever, on a machine too slow to reach the cap in time', async () => {
    const pour: Answer = (socket) => {
      socket.write('HTTP/1.1 200 OK\r\n\r\n');
      const timer = setInterval(() => socket.write(Buffer.alloc(64 * 1024)), 5);
      socket.on('close', () => clearInterval(timer));
    };
    const result = await ask(pour, { timeoutMs: 1000, maxBytes: 1024 ** 3 });
    expect(result).toMatchObject({ outcome: 'garbled', error: 'body-too-large', status: 200 });
  });

  test('headers that drip for ever', async () => {
    const drip: Answer = (socket) => {
      socket.write('HTTP/1.1 200 OK\r\n');
      const timer = setInterval(() => socket.write('A: b\r\n'), 20);
      socket.on('close', () => clearInterval(timer));
    };
    expect(await ask(drip, { timeoutMs: 300 })).toMatchObject({ outcome: 'silent', error: 'ETIMEDOUT' });
  });

  test('headers without end', async () => {
    const flood: Answer = (socket) =>
      void socket.write(`HTTP/1.1 200 OK\r\n${'X-A: bbbbbbbbbbbbbbbb\r\n'.repeat(5_000)}`);
    expect(await ask(flood)).toMatchObject({ outcome: 'garbled', error: 'HPE_HEADER_OVERFLOW' });
  });

  test('a body without end', async () => {
    const flood: Answer = (socket) => {
      socket.write('HTTP/1.1 200 OK\r\n\r\n');
      const pour = (): void => {
        while (!socket.destroyed && socket.write(Buffer.alloc(65_536)));
        socket.once('drain', pour);
      };
      pour();
    };
    const result = await ask(flood);
    expect(result).toMatchObject({ outcome: 'garbled', error: 'body-too-large', status: 200 });
    expect(result.body.length).toBe(10_000);
  });

  test('a small body that unpacks to a large one', async () => {
    const result = await ask(reply('200 OK', ['Content-Encoding: gzip'], gzipSync(Buffer.alloc(5_000_000))));
    expect(result).toMatchObject({ outcome: 'garbled', error: 'body-too-large' });
    expect(result.body.length).toBeLessThanOrEqual(10_000);
  });

  test('a body that says gzip and is not', async () => {
    const result = await ask(reply('200 OK', ['Content-Encoding: gzip'], 'hello'));
    expect(result).toMatchObject({ outcome: 'garbled', error: 'body-cut' });
    expect(result.body.toString()).toBe('hello');
  });

  test('a header named __proto__ is a plain key', async () => {
    const result = await ask(reply('200 OK', ['__proto__: x'], ''));
    expect(result.outcome).toBe('answered');
    expect(Object.getPrototypeOf({})).toBe(Object.prototype);
  });

  test.each(['', 'gopher://127.31.0.1/', 'http://', 'http://127.31.0.1:99999/'])('no URL: "%s"', async (url) => {
    expect(await httpExchange({ ...get(1), url })).toMatchObject({ outcome: 'failed', error: 'EINVAL' });
  });

  test('a header that may not be sent', async () => {
    const result = await httpExchange(get(1, { headers: { 'x-a': 'line\r\nbreak' } }));
    expect(result).toMatchObject({ outcome: 'failed', error: 'ERR_INVALID_CHAR' });
  });
});

describe('redirects', () => {
  test('are followed on the same host and keep the body', async () => {
    const bodies: string[] = [];
    const { port } = await rawServer((socket, chunk) => {
      const request = chunk.toString('latin1');
      bodies.push(request.split('\r\n\r\n')[1] ?? '');
      if (request.startsWith('POST /new ')) reply('200 OK', [], 'there')(socket, chunk);
      else reply('302 Found', ['Location: /new'])(socket, chunk);
    });
    const result = await httpExchange(get(port, { method: 'POST', body: Buffer.from('q') }));
    expect(result).toMatchObject({ outcome: 'answered', status: 200, url: `http://${HOST}:${port}/new` });
    expect(bodies).toEqual(['q', 'q']);
  });

  test('are not followed to another host', async () => {
    const result = await ask(reply('302 Found', ['Location: http://192.0.2.1/']));
    expect(result).toMatchObject({ outcome: 'answered', status: 302 });
  });

  test('end after three', async () => {
    const { port, connections } = await rawServer(reply('302 Found', ['Location: /again']));
    expect(await httpExchange(get(port))).toMatchObject({ outcome: 'answered', status: 302 });
    expect(connections()).toBe(4);
  });

  test('never go from https to http', async () => {
    const plain = await rawServer(reply('200 OK', []));
    const secure = await rawTlsServer(reply('302 Found', [`Location: http://${HOST}:${plain.port}/`]));
    const result = await httpExchange(get(0, { url: `https://${HOST}:${secure.port}/` }));
    expect(result).toMatchObject({ outcome: 'answered', status: 302 });
    expect(plain.connections()).toBe(0);
  });

  test('go from http to https', async () => {
    const secure = await rawTlsServer(reply('200 OK', []));
    const result = await ask(reply('301 Moved', [`Location: https://${HOST}:${secure.port}/`]));
    expect(result).toMatchObject({ outcome: 'answered', status: 200, tls: { trusted: false } });
  });
});

describe('TLS', () => {
  test('a certificate that the printer signed itself is accepted and recorded', async () => {
    const { port } = await rawTlsServer(reply('200 OK', [], 'hello'));
    const result = await httpExchange(get(0, { url: `https://${HOST}:${port}/` }));
    expect(result).toMatchObject({ outcome: 'answered', status: 200 });
    expect(result.tls).toMatchObject({ trusted: false, subject: 'CN=printer.example, O=Example' });
    expect(result.tls?.protocol).toMatch(/^TLSv1/);
    expect(result.tls?.fingerprint).toMatch(/^([0-9a-f]{2}:){31}[0-9a-f]{2}$/);
    const days = (Date.parse(result.tls?.validTo ?? '') - Date.parse(result.tls?.validFrom ?? '')) / 86_400_000;
    expect(days).toBe(30);
  });

  test('a port that speaks no TLS', async () => {
    const { port } = await rawServer(text('HTTP/1.1 400 Bad Request\r\n\r\n'));
    const result = await httpExchange(get(0, { url: `https://${HOST}:${port}/` }));
    expect(result).toMatchObject({ outcome: 'failed', error: 'tls', status: null });
    expect(result.tls?.error).toMatch(/SSL|EPROTO/);
  });

  test('a handshake that is cut', async () => {
    const { port } = await rawServer((socket) => void socket.resetAndDestroy());
    const result = await httpExchange(get(0, { url: `https://${HOST}:${port}/` }));
    expect(result).toMatchObject({ outcome: 'failed', error: 'tls', tls: { error: 'ECONNRESET' } });
  });

  test('a handshake that never ends', async () => {
    const { port } = await rawServer(() => undefined);
    const result = await httpExchange(get(0, { url: `https://${HOST}:${port}/`, timeoutMs: 200 }));
    expect(result).toMatchObject({ outcome: 'silent', error: 'ETIMEDOUT', tls: { error: 'ETIMEDOUT' } });
  });
});

describe('kept connections', () => {
  const keeping: Answer = (socket) => void socket.write('HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\nok');

  test('serve several exchanges in a row', async () => {
    const { port, connections } = await rawServer(keeping);
    for (let i = 0; i < 3; i += 1) expect(await httpExchange(get(port))).toMatchObject({ outcome: 'answered' });
    expect(connections()).toBe(1);
  });

  test('keep their certificate on record', async () => {
    const { port } = await rawTlsServer(keeping);
    const request = get(0, { url: `https://${HOST}:${port}/` });
    const [first, second] = [await httpExchange(request), await httpExchange(request)];
    expect(second.tls).toEqual(first.tls);
    expect(second.tls?.fingerprint).toBeDefined();
  });

  test('one that the other side closed meanwhile is asked anew', async () => {
    let asked = 0;
    const { port, connections } = await rawServer((socket, chunk) => {
      asked += 1;
      if (asked === 2) socket.destroy();
      else keeping(socket, chunk);
    });
    await httpExchange(get(port));
    expect(await httpExchange(get(port))).toMatchObject({ outcome: 'answered', status: 200 });
    expect(connections()).toBe(2);
  });
});

test.each([515, 9100])('a redirect to port %i, which would print what is asked, is not followed', async (port) => {
  const result = await ask(reply('302 Found', [`Location: http://${HOST}:${port}/`]));
  expect(result).toMatchObject({ outcome: 'answered', status: 302 });
});

async function announcedAt(port: number): Promise<void> {
  const taken: Socket[] = [];
  const listener = createServer((socket) => taken.push(socket));
  await new Promise<void>((resolve) => listener.listen(port, '127.77.200.1', resolve));
  const result = await httpExchange(get(port, { url: `http://127.77.200.1:${port}/ipp/print` }));
  listener.close();
  expect(result).toMatchObject({ outcome: 'failed', error: 'print-data-port', status: null });
  expect(taken).toEqual([]);
}

test('port 9100, which prints whatever comes, is not asked even when a printer announces it', () => announcedAt(9100));
describeWithPeers('nor is the port of LPD (RFC 1179)', ['low ports'], () => {
  test('515', () => announcedAt(515));
});
