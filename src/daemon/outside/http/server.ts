import type { AddressInfo } from 'node:net';
import cookie from '@fastify/cookie';
import helmet from '@fastify/helmet';
import { type FastifyError, type FastifyInstance, type FastifyReply, type FastifyRequest, fastify } from 'fastify';
import { renderSignIn } from '../../../render/sign-in-html.js';
import type { Log } from '../../world.js';
import { type Answer, type Asked, problem, type Route, type SignInForm } from './answer.js';
import { Browsers } from './browser.js';
import { acts, Gate, headerOf, type Known, pathOf } from './gate.js';
import { securityHeaders } from './headers.js';
import { send } from './send.js';
import { signing } from './sign-in.js';

export interface ServerOptions {
  readonly address: string;
  readonly port: number;
  /** Compulsory beyond loopback. */
  readonly token: string | undefined;
  /** Further names that this machine is asked by. */
  readonly hosts?: readonly string[];
  /** Paths that are told to anybody, besides health and the sign-in form: a page's style sheet. They must say nothing of printers. */
  readonly open?: readonly string[];
  /** Shows the form that asks for the token; without it, a plain one. */
  readonly signInPage?: (form: SignInForm) => string;
  /** Tried in order. */
  readonly routes: readonly Route[];
  readonly log: Log;
}

export interface RunningServer {
  readonly port: number;
  readonly close: () => Promise<void>;
}

const OPEN = ['/healthz', '/readyz', '/sign-in'];
const REQUEST_MS = 10_000;
const MOST_CONNECTIONS = 200;
const MOST_BODY = 16 * 1024;

/** Serves over HTTP. Errors are problem details (RFC 9457). Rejects when the port can't be had. */
export async function serve(options: ServerOptions): Promise<RunningServer> {
  const app = fastify({
    bodyLimit: MOST_BODY,
    requestTimeout: REQUEST_MS,
    http: { headersTimeout: REQUEST_MS, connectionsCheckingInterval: 1_000 },
    forceCloseConnections: true,
    exposeHeadRoutes: false,
    frameworkErrors: (_error, _request, reply) => {
      send(reply, problem(404, 'There is nothing here.'));
    },
  });
  const browsers = new Browsers(options.port, false);
  await app.register(cookie);
  await app.register(helmet, securityHeaders(false));
  takeBodies(app);
  answerErrors(app, options.log);
  answerAll(app, options, browsers);
  app.server.maxConnections = MOST_CONNECTIONS;
  await app.listen({ port: options.port, host: options.address });
  app.server.on('error', (error) => options.log.warn({ err: error.message }, 'the HTTP server failed'));
  return { port: (app.server.address() as AddressInfo).port, close: () => app.close() };
}

/** Forms, and under `/api/` objects of texts; nothing else. */
function takeBodies(app: FastifyInstance): void {
  app.removeAllContentTypeParsers();
  app.addContentTypeParser(
    'application/x-www-form-urlencoded',
    { parseAs: 'string' },
    async (_: unknown, body: string) => new URLSearchParams(body),
  );
  app.addContentTypeParser('application/json', { parseAs: 'string' }, async (_: unknown, body: string) => {
    const read: unknown = body === '' ? {} : JSON.parse(body);
    const texts = typeof read === 'object' && read !== null ? Object.entries(read) : [['', null]];
    if (!texts.every(([, value]) => typeof value === 'string')) throw new SyntaxError('not an object of texts');
    return new URLSearchParams(texts as [string, string][]);
  });
}

function answerErrors(app: FastifyInstance, log: Log): void {
  app.setErrorHandler((error: FastifyError, request, reply) => {
    const status = error instanceof SyntaxError ? 400 : (error.statusCode ?? 500);
    const words = SAID[status];
    if (words !== undefined) return send(reply, problem(status, words));
    log.error({ request: request.id, err: error.stack ?? String(error) }, 'a request failed');
    return send(reply, problem(500, 'It failed by itself; the log says more.'));
  });
  app.setNotFoundHandler((_request, reply) => send(reply, problem(404, 'There is nothing here.')));
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

function answerAll(app: FastifyInstance, options: ServerOptions, browsers: Browsers): void {
  const { token, hosts = [], open = [], signInPage: page = renderSignIn } = options;
  const gate = new Gate({ token, hosts, open: new Set([...OPEN, ...open]) }, browsers);
  const knownBy = new WeakMap<FastifyRequest, Known>();
  app.addHook('onRequest', async (request, reply) => {
    const known = gate.enter(request);
    if (typeof known !== 'string') return send(reply, known);
    knownBy.set(request, known);
    return undefined;
  });
  app.all('/*', async (request, reply) => {
    const known = knownBy.get(request) ?? 'open';
    const form = request.body instanceof URLSearchParams ? request.body : undefined;
    if (acts(request) && !gate.proves(request, known, form)) return send(reply, NOT_OURS);
    const asked = askedOf(request, reply, browsers, known);
    const made = await signing(asked, { token, page }, browsers, [request, reply]);
    return send(reply, made ?? (await answerOf(asked, options.routes)));
  });
}

const NOT_OURS = problem(
  403,
  'The form is too old, or not from here: load the page again, then send it again. (A program sends "Authorization: Bearer TOKEN".)',
);

async function answerOf(asked: Asked, routes: readonly Route[]): Promise<Answer> {
  for (const route of routes) {
    const made = await route(asked);
    if (made !== undefined) return made;
  }
  return problem(404, 'There is nothing here.');
}

function askedOf(request: FastifyRequest, reply: FastifyReply, browsers: Browsers, known: Known): Asked {
  const session = browsers.sessionOf(request);
  return {
    method: request.method === 'HEAD' ? 'GET' : request.method,
    path: pathOf(request),
    query: new URL(request.url, 'http://agent.invalid').searchParams,
    ...(request.body instanceof URLSearchParams ? { form: request.body } : {}),
    get csrf() {
      return browsers.tokenFor(request, reply);
    },
    signedIn: session !== undefined,
    by: session !== undefined ? `session ${session.shown}` : known === 'open' ? 'anybody here' : 'token',
    from: request.ip,
    accept: headerOf(request, 'accept'),
    lastEventId: headerOf(request, 'last-event-id'),
  };
}
