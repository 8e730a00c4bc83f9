import type { FastifyRequest } from 'fastify';
import { type Answer, problem, seeOther } from './answer.js';
import type { Browsers } from './browser.js';
import { strangeness } from './origin.js';
import { clientOf, Pace, type Paces } from './pace.js';
import { givenToken } from './secret.js';
import type { Tries } from './tries.js';

export interface GateOptions {
  /** Undefined: nobody needs a token. */
  readonly tries: Tries | undefined;
  /** Further names of this machine. */
  readonly hosts: readonly string[];
  /** Paths that are told to anybody. */
  readonly open: ReadonlySet<string>;
  readonly paces: Paces;
}

/** How somebody was known. `open`: nobody has to be. */
export type Known = 'open' | 'bearer' | 'basic' | 'session';

/** Decides who may ask for what, from where, how often. */
export class Gate {
  private readonly pace: Pace;

  constructor(
    private readonly options: GateOptions,
    private readonly browsers: Browsers,
  ) {
    this.pace = new Pace(options.paces);
  }

  /** Before the body is read. Gives the answer that ends it, or how the asker is known. */
  async enter(request: FastifyRequest): Promise<Answer | Known> {
    const path = pathOf(request);
    const wait = await this.pace.tooFast(clientOf(request.ip), acts(request));
    if (wait !== undefined) return tooMany(wait, 'So much is asked that nothing more is answered just now.');
    const strange = strangeness(acts(request), request.headers, this.options.hosts);
    if (strange !== undefined) return problem(403, strange);
    const known = await this.known(request);
    if (known !== undefined) return known;
    if (this.options.open.has(path)) return 'open';
    return !acts(request) && wantsPage(request)
      ? seeOther(`/sign-in?next=${encodeURIComponent(request.url)}`)
      : UNKNOWN;
  }

  /**
   * Actions only, after the body was read. A program that sends the token itself is believed, and so is one that has no cookies where
   * no token is needed: a browser could not be made to send such a request without saying from where.
   */
  proves(request: FastifyRequest, known: Known, form: URLSearchParams | undefined): boolean {
    if (known === 'bearer') return true;
    const program = pathOf(request).startsWith('/api/') && !this.browsers.hasCookie(request);
    return program || this.browsers.isRight(request, form?.get('csrf') ?? headerOf(request, 'x-csrf-token'));
  }

  private async known(request: FastifyRequest): Promise<Known | Answer | undefined> {
    const { tries } = this.options;
    if (this.browsers.sessionOf(request) !== undefined) return 'session';
    if (tries === undefined) return 'open';
    const given = givenToken(request.headers.authorization);
    if (given === undefined) return undefined;
    const tried = await tries.give(given.token, clientOf(request.ip));
    if (typeof tried === 'object') return tooManyWrong(tried.waitSeconds);
    if (tried === 'wrong') return UNKNOWN;
    return given.bearer ? 'bearer' : 'basic';
  }
}

const UNKNOWN: Answer = {
  ...problem(401, 'A token is needed: "Authorization: Bearer TOKEN".', {
    'WWW-Authenticate': 'Bearer, Basic realm="outfeed", charset="UTF-8"',
  }),
  forPeople: 'Nobody is signed in here, or no longer. Sign in, then do it again.',
};

/** 429 (RFC 6585, section 4). */
function tooMany(seconds: number, detail: string): Answer {
  return problem(429, detail, { 'Retry-After': String(seconds) });
}

export function tooManyWrong(seconds: number): Answer {
  return tooMany(seconds, WRONG_TOO_OFTEN);
}

export const WRONG_TOO_OFTEN = 'Too many wrong tokens: none is looked at for a while.';

export function acts(request: FastifyRequest): boolean {
  return request.method !== 'GET' && request.method !== 'HEAD';
}

/** The path as it was sent (RFC 9112 section 3.2.1), which the routes go by too: `//printer/why` names no other host, and is no URL. */
export function pathOf({ url }: FastifyRequest): string {
  return url.split('?', 1)[0] ?? url;
}

export function queryOf({ url }: FastifyRequest): URLSearchParams {
  return new URLSearchParams(url.slice(url.indexOf('?') + 1 || url.length));
}

export function headerOf(request: FastifyRequest, name: string): string {
  const value = request.headers[name];
  return typeof value === 'string' ? value : '';
}

/** A browser at a page; programs get a problem to read. */
export function wantsPage(request: FastifyRequest): boolean {
  return !/^\/(api\/|metrics$)/.test(pathOf(request)) && headerOf(request, 'accept').includes('text/html');
}
