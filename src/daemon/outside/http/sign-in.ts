import type { FastifyReply, FastifyRequest } from 'fastify';
import { type Answer, type Asked, notAllowed, type SignInForm, seeOther } from './answer.js';
import type { Browsers } from './browser.js';
import { WRONG_TOO_OFTEN } from './gate.js';
import { clientOf } from './pace.js';
import type { Tries } from './tries.js';

export interface SignInOptions {
  /** Undefined: nobody needs a token. */
  readonly tries: Tries | undefined;
  readonly page: (form: SignInForm) => string;
}

/** `/sign-in` and `/sign-out`. Undefined for every other path. */
export async function signing(
  asked: Asked,
  { tries, page }: SignInOptions,
  browsers: Browsers,
  [request, reply]: readonly [FastifyRequest, FastifyReply],
): Promise<Answer | undefined> {
  if (asked.path === '/sign-out') {
    if (asked.method !== 'POST') return notAllowed('POST');
    browsers.signOut(request, reply);
    return seeOther(tries === undefined ? '/' : '/sign-in');
  }
  if (asked.path !== '/sign-in') return undefined;
  if (asked.method !== 'GET' && asked.method !== 'POST') return notAllowed('GET', 'POST');
  const next = ownPath(asked.form?.get('next') ?? asked.query.get('next'));
  if (tries === undefined) return seeOther(next);
  const show = (status: number, wrong: string | null, headers = {}): Answer => ({
    status,
    body: page({ csrf: asked.csrf, next, wrong }),
    type: 'text/html; charset=utf-8',
    headers,
  });
  if (asked.method === 'GET') return show(200, null);
  const tried = await tries.give(asked.form?.get('token') ?? '', clientOf(asked.from));
  if (typeof tried === 'object') return show(429, WRONG_TOO_OFTEN, { 'Retry-After': String(tried.waitSeconds) });
  if (tried === 'wrong') return show(403, 'That is not the token of this page.');
  browsers.signIn(request, reply);
  return seeOther(next);
}

/** A path of this server, and nothing that a browser takes for another one. */
function ownPath(path: string | null): string {
  const here = new URL('http://agent.invalid');
  try {
    const url = new URL(path ?? '/', here);
    // Without its dots a path may begin with two slashes, which name a host (RFC 3986, sections 4.2 and 5.2.4).
    const stays = url.origin === here.origin && path?.startsWith('/') === true && !url.pathname.startsWith('//');
    return stays ? url.pathname + url.search : '/';
  } catch {
    return '/';
  }
}
