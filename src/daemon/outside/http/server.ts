import type { AddressInfo } from 'node:net';
import cookie from '@fastify/cookie';
import helmet from '@fastify/helmet';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { renderSignIn } from '../../../render/sign-in-html.js';
import type { Log } from '../../world.js';
import { type Answer, type Asked, problem, type RefusedPage, type Route, type SignInForm } from './answer.js';
import { actionLog } from './audit.js';
import { Browsers } from './browser.js';
import { framework, renewCertificate, type TlsFiles } from './framework.js';
import { acts, Gate, headerOf, type Known, pathOf, queryOf } from './gate.js';
import { securityHeaders } from './headers.js';
import { type Paces, USUAL_PACES } from './pace.js';
import { tokenCheck } from './secret.js';
import { send, sendAny } from './send.js';
import { signing } from './sign-in.js';
import { Streams } from './streams.js';
import { Tries } from './tries.js';

export interface ServerOptions {
  readonly address: string;
  readonly port: number;
  /** The token, or `scrypt$…` made of it. Compulsory beyond loopback. */
  readonly token: string | undefined;
  /** Absent: plain HTTP. */
  readonly tls?: TlsFiles;
  /** Further names that this machine is asked by. */
  readonly hosts?: readonly string[];
  /** Paths that are told to anybody, besides health and the sign-in form: a page's style sheet. They must say nothing of printers. */
  readonly open?: readonly string[];
  /** Shows the form that asks for the token; without it, a plain one. */
  readonly signInPage?: (form: SignInForm) => string;
  /** Shows a browser why its request came to nothing; without it, browsers get problem details as programs do. */
  readonly refusedPage?: RefusedPage;
  /** How often one may ask. */
  readonly paces?: Paces;
  /** Tried in order. */
  readonly routes: readonly Route[];
  readonly log: Log;
}

export interface RunningServer {
  readonly port: number;
  /** Shows another certificate from now on. Throws for files that are none; the old one holds then. */
  readonly renew: (tls: TlsFiles) => void;
  readonly close: () => Promise<void>;
}

const OPEN = ['/healthz', '/readyz', '/sign-in'];

/** Serves over HTTP. Errors are problem details (RFC 9457). Rejects when the port can't be had, or a file is not what it should be. */
export async function serve(options: ServerOptions): Promise<RunningServer> {
  const { token, tls, log } = options;
  const tries = token === undefined ? undefined : new Tries(tokenCheck(token));
  const app = framework(tls, log, options.refusedPage);
  await app.register(cookie);
  await app.register(helmet, securityHeaders(tls !== undefined));
  answerAll(app, options, tries);
  await app.listen({ port: options.port, host: options.address });
  app.server.on('error', (error) => log.warn({ err: error.message }, 'the HTTP server failed'));
  return {
    port: (app.server.address() as AddressInfo).port,
    renew: (files) => renewCertificate(app.server, files),
    close: () => app.close(),
  };
}

function answerAll(app: FastifyInstance, options: ServerOptions, tries: Tries | undefined): void {
  const {
    tls,
    hosts = [],
    open = [],
    signInPage: page = renderSignIn,
    paces = USUAL_PACES,
    log,
    refusedPage,
  } = options;
  const browsers = new Browsers(options.port, tls !== undefined);
  const gate = new Gate({ tries, hosts, open: new Set([...OPEN, ...open]), paces }, browsers);
  const streams = new Streams();
  const knownBy = new WeakMap<FastifyRequest, Known>();
  const byOf = (request: FastifyRequest): string => shownBy(browsers, request, knownBy.get(request));
  app.addHook('onResponse', actionLog(log, byOf));
  app.addHook('onRequest', async (request, reply) => {
    const known = await gate.enter(request);
    if (typeof known !== 'string') return send(reply, known, refusedPage);
    knownBy.set(request, known);
    return undefined;
  });
  app.all('/*', async (request, reply) => {
    const form = request.body instanceof URLSearchParams ? request.body : undefined;
    const known = knownBy.get(request) ?? 'open';
    if (acts(request) && !gate.proves(request, known, form)) return send(reply, NOT_OURS, refusedPage);
    const asked = askedOf(request, reply, browsers, byOf(request));
    const made = await signing(asked, { tries, page }, browsers, [request, reply]);
    return sendAny(reply, made ?? (await answerOf(asked, options.routes)), streams, refusedPage);
  });
}

const TOO_OLD = 'The form is too old, or not from here: load the page again, then send it again.';
const NOT_OURS: Answer = {
  ...problem(403, `${TOO_OLD} (A program sends "Authorization: Bearer TOKEN".)`),
  forPeople: TOO_OLD,
};

async function answerOf(asked: Asked, routes: readonly Route[]): Promise<Answer> {
  for (const route of routes) {
    const made = await route(asked);
    if (made !== undefined) return made;
  }
  return problem(404, 'There is nothing here.');
}

function shownBy(browsers: Browsers, request: FastifyRequest, known: Known | undefined): string {
  const session = browsers.sessionOf(request);
  if (session !== undefined) return `session ${session.shown}`;
  return known === 'bearer' || known === 'basic' ? 'token' : 'anybody';
}

function askedOf(request: FastifyRequest, reply: FastifyReply, browsers: Browsers, by: string): Asked {
  return {
    method: request.method === 'HEAD' ? 'GET' : request.method,
    path: pathOf(request),
    query: queryOf(request),
    ...(request.body instanceof URLSearchParams ? { form: request.body } : {}),
    get csrf() {
      return browsers.tokenFor(request, reply);
    },
    signedIn: browsers.sessionOf(request) !== undefined,
    by,
    from: request.ip,
    accept: headerOf(request, 'accept'),
    lastEventId: headerOf(request, 'last-event-id'),
  };
}
