import { createHash, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { type AddressInfo, isIP } from 'node:net';
import { hostname } from 'node:os';
import type { Log } from '../world.js';

/** An answer; the body as JSON, unless it is text or octets already. */
export interface Answer {
  readonly status: number;
  readonly body: unknown;
  readonly type?: string;
  readonly headers?: Readonly<Record<string, string>>;
  /** Goes on after the body: called once, with a way to say more and a signal for when nobody listens any more. */
  readonly more?: (say: (text: string) => void, gone: AbortSignal) => void;
}

/** What is asked. Never more than the path, the method and the query: nothing that is served here takes a body. */
export interface Asked {
  readonly method: string;
  readonly path: string;
  readonly query: URLSearchParams;
}

/** Answers a request, or says undefined for what it does not serve. */
export type Route = (asked: Asked) => Promise<Answer | undefined>;

export interface ServerOptions {
  readonly address: string;
  readonly port: number;
  /** Compulsory beyond loopback. */
  readonly token: string | undefined;
  /** Tried in order. */
  readonly routes: readonly Route[];
  readonly log: Log;
}

export interface RunningServer {
  readonly port: number;
  readonly close: () => Promise<void>;
}

/** Told to anybody: they say nothing of printers. */
const OPEN = new Set(['/healthz', '/readyz']);
const REQUEST_MS = 30_000;
const MOST_CONNECTIONS = 200;
/** Octets that may wait for one who listens. */
const MOST_UNREAD = 1024 * 1024;

/** Serves over HTTP. Errors are problem details (RFC 9457). Rejects when the port can't be had. */
export async function serve(options: ServerOptions): Promise<RunningServer> {
  let requests = 0;
  const server = createServer((request, response) => {
    const id = `r${++requests}`;
    const started = performance.now();
    response.on('finish', () => {
      const ms = Math.round(performance.now() - started);
      options.log.debug({ request: id, method: request.method, status: response.statusCode, ms }, 'asked over HTTP');
    });
    answer(request, options)
      .catch((error: unknown) => {
        options.log.error(
          { request: id, err: error instanceof Error ? error.stack : String(error) },
          'a request failed',
        );
        return problem(500, 'It failed by itself; the log says more.');
      })
      .then((made) => write(response, made));
  });
  server.requestTimeout = REQUEST_MS;
  server.headersTimeout = REQUEST_MS;
  server.maxConnections = MOST_CONNECTIONS;
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(options.port, options.address, () => resolve());
  });
  server.on('error', (error) => options.log.warn({ err: error.message }, 'the HTTP server failed'));
  return {
    port: (server.address() as AddressInfo).port,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

async function answer(request: IncomingMessage, { token, routes }: ServerOptions): Promise<Answer> {
  let url: URL;
  try {
    url = new URL(request.url ?? '/', 'http://agent.invalid');
  } catch {
    return problem(400, 'The request names no path.');
  }
  if (token !== undefined && !OPEN.has(url.pathname) && !isAllowed(request.headers.authorization, token)) {
    return problem(401, 'A token is needed: "Authorization: Bearer TOKEN".');
  }
  const method = request.method ?? 'GET';
  const strange = strangeness(method, request);
  if (strange !== undefined) return problem(403, strange);
  const asked = { method, path: url.pathname, query: url.searchParams };
  for (const route of routes) {
    const made = await route(asked);
    if (made !== undefined) return made;
  }
  return problem(404, 'There is nothing here.');
}

/**
 * A page from elsewhere that a browser on this machine shows must not get at what is served here: its name may have been made to point
 * here (so only addresses, `localhost` and this machine's own name are taken for a host), and it may send what it can't read (so an
 * action from another origin is refused).
 */
function strangeness(method: string, request: IncomingMessage): string | undefined {
  const { host, origin } = request.headers;
  const name = hostOf(host ?? '');
  const own = isIP(name) !== 0 || /^(.+\.)?localhost$/i.test(name) || name.toLowerCase() === hostname().toLowerCase();
  if (!own)
    return 'The Host header names another machine: ask by address, by "localhost" or by the name of this machine.';
  const acts = method !== 'GET' && method !== 'HEAD';
  if (acts && origin !== undefined && originHost(origin) !== host) return 'An action may only come from here.';
  return undefined;
}

/** The host of `name:port` or `[address]:port`. */
function hostOf(header: string): string {
  return header.replace(/:\d+$/, '').replace(/^\[(.*)\]$/, '$1');
}

function originHost(origin: string): string | undefined {
  try {
    return new URL(origin).host;
  } catch {
    return undefined;
  }
}

/** `Bearer TOKEN` (RFC 6750), or Basic (RFC 7617) with the token as password. */
function isAllowed(header: string | undefined, token: string): boolean {
  const [scheme = '', value = ''] = (header ?? '').split(' ');
  if (/^bearer$/i.test(scheme)) return same(value, token);
  if (!/^basic$/i.test(scheme)) return false;
  const plain = Buffer.from(value, 'base64').toString('utf8');
  return same(plain.slice(plain.indexOf(':') + 1), token);
}

/** Compares without telling by the time it takes how much was right. */
function same(given: string, wanted: string): boolean {
  const hash = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(hash(given), hash(wanted));
}

export function problem(status: number, detail: string): Answer {
  return { status, body: { type: 'about:blank', title: TITLES[status] ?? 'Error', status, detail }, type: PROBLEM };
}

const PROBLEM = 'application/problem+json';
const TITLES: Readonly<Record<number, string>> = {
  400: 'Bad Request',
  401: 'Unauthorized',
  403: 'Forbidden',
  404: 'Not Found',
  405: 'Method Not Allowed',
  500: 'Internal Server Error',
  503: 'Service Unavailable',
};

function write(response: ServerResponse, { status, body, type, headers, more }: Answer): void {
  const text = typeof body === 'string' || Buffer.isBuffer(body) ? body : `${JSON.stringify(body)}\n`;
  response.writeHead(status, {
    'Content-Type': type ?? (typeof body === 'string' ? 'text/plain; charset=utf-8' : 'application/json'),
    'Cache-Control': 'no-store',
    'X-Content-Type-Options': 'nosniff',
    ...headers,
    ...(status === 401 ? { 'WWW-Authenticate': 'Bearer, Basic realm="outfeed", charset="UTF-8"' } : {}),
  });
  if (more === undefined) {
    response.end(text);
    return;
  }
  const gone = new AbortController();
  response.on('close', () => gone.abort());
  response.write(text);
  more((said) => {
    // Who listens without reading would be kept everything for ever.
    if (response.writableLength > MOST_UNREAD) response.destroy();
    else response.write(said);
  }, gone.signal);
}
