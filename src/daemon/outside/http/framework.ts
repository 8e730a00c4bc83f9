import type { Server } from 'node:http';
import type { Socket } from 'node:net';
import { createSecureContext } from 'node:tls';
import { type FastifyError, type FastifyInstance, fastify } from 'fastify';
import type { Log } from '../../world.js';
import { problem, type RefusedPage } from './answer.js';
import { send } from './send.js';
import { MOST_STREAMS } from './streams.js';

/** Certificate chain and private key, PEM. */
export interface TlsFiles {
  readonly cert: string;
  readonly key: string;
}

/** For a request to arrive as a whole, its header first. Generous: a busy machine must not cut who asked in time. */
const HEADERS_MS = 10_000;
const REQUEST_MS = 20_000;
/** Of silence in the middle of an answer: what makes a snapshot of a large site may say nothing for minutes. */
const SILENT_MS = 300_000;
const MOST_BODY = 16 * 1024;
const MOST_HEADER = 16 * 1024;
const MOST_CONNECTIONS = 200;

/** The HTTP server below: sizes and times are checked here, and what is wrong is said as problem details. Throws for bad files. */
export function framework(tls: TlsFiles | undefined, log: Log, page: RefusedPage | undefined): FastifyInstance {
  const times = { headersTimeout: HEADERS_MS, connectionsCheckingInterval: 1_000, maxHeaderSize: MOST_HEADER };
  const app = fastify({
    bodyLimit: MOST_BODY,
    requestTimeout: REQUEST_MS,
    connectionTimeout: SILENT_MS,
    forceCloseConnections: true,
    exposeHeadRoutes: false,
    clientErrorHandler: sayBroken,
    // Before any hook, so without the policy that a page needs.
    frameworkErrors: (_error, _request, reply) => void send(reply, problem(404, 'There is nothing here.'), undefined),
    ...(tls === undefined ? { http: times } : { https: { ...times, ...tls, minVersion: 'TLSv1.2' } }),
  }) as unknown as FastifyInstance;
  // Listeners to events have places of their own.
  app.server.maxConnections = MOST_CONNECTIONS + MOST_STREAMS;
  takeBodies(app);
  answerErrors(app, log, page);
  return app;
}

/** Takes another certificate for the connections to come. Throws for bad files, and then the old one holds. */
export function renewCertificate(server: Server, tls: TlsFiles): void {
  createSecureContext(tls);
  if ('setSecureContext' in server && typeof server.setSecureContext === 'function') server.setSecureContext(tls);
}

/** Forms, and under `/api/` objects of texts; nothing else. */
function takeBodies(app: FastifyInstance): void {
  const as = { parseAs: 'string' } as const;
  app.removeAllContentTypeParsers();
  app.addContentTypeParser(
    'application/x-www-form-urlencoded',
    as,
    async (_: unknown, body: string) => new URLSearchParams(body),
  );
  app.addContentTypeParser('application/json', as, async (_: unknown, body: string) => {
    const read: unknown = body === '' ? {} : JSON.parse(body);
    const texts = typeof read === 'object' && read !== null ? Object.entries(read) : [['', null]];
    if (!texts.every(([, value]) => typeof value === 'string')) throw new SyntaxError('not an object of texts');
    return new URLSearchParams(texts as [string, string][]);
  });
}

function answerErrors(app: FastifyInstance, log: Log, page: RefusedPage | undefined): void {
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const status = error instanceof SyntaxError ? 400 : (error.statusCode ?? 500);
    const words = SAID[status];
    if (words !== undefined) return send(reply, problem(status, words), page);
    log.error({ request: request.id, err: error.stack ?? String(error) }, 'a request failed');
    return send(reply, problem(500, 'It failed by itself; the log says more.'), page);
  });
  app.setNotFoundHandler((_request, reply) => send(reply, problem(404, 'There is nothing here.'), page));
  app.addHook('onResponse', async (request, reply) => {
    const ms = Math.round(reply.elapsedTime);
    log.debug({ request: request.id, method: request.method, status: reply.statusCode, ms }, 'asked over HTTP');
  });
}

const SAID: Readonly<Record<number, string>> = {
  400: 'The body can not be read: it takes a form, or a JSON object of texts.',
  413: `The body is too long: at most ${MOST_BODY / 1024} kB are taken.`,
  415: 'A body is taken as application/x-www-form-urlencoded, or as application/json.',
};

const BROKEN: Readonly<Record<string, readonly [status: number, words: string]>> = {
  HPE_HEADER_OVERFLOW: [431, `The header is too long: at most ${MOST_HEADER / 1024} kB are taken.`],
  ERR_HTTP_REQUEST_TIMEOUT: [408, 'The request took too long to arrive.'],
};

/** What is not even a request, or never became one. */
function sayBroken(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy();
    return;
  }
  const [status, words] = BROKEN[error.code ?? ''] ?? [400, 'This is not a request that can be read.'];
  const { body, type } = problem(status, words);
  const text = `${JSON.stringify(body)}\n`;
  const { title } = body as { title: string };
  socket.end(
    `HTTP/1.1 ${status} ${title}\r\nContent-Type: ${type}\r\nContent-Length: ${Buffer.byteLength(text)}\r\nConnection: close\r\n\r\n${text}`,
  );
}
