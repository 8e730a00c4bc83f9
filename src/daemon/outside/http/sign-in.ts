import type { FastifyReply, FastifyRequest } from 'fastify';
import { type Answer, type Asked, notAllowed, type SignInForm, seeOther } from './answer.js';
import type { Browsers } from './browser.js';
import { same } from './secret.js';

export interface SignInOptions {
  readonly token: string | undefined;
  readonly page: (form: SignInForm) => string;
}

/** `/sign-in` and `/sign-out`. Undefined for every other path. */
export async function signing(
  asked: Asked,
  { token, page }: SignInOptions,
  browsers: Browsers,
  [request, reply]: readonly [FastifyRequest, FastifyReply],
): Promise<Answer | undefined> {
  if (asked.path === '/sign-out') {
    if (asked.method !== 'POST') return notAllowed('POST');
    browsers.signOut(request, reply);
    return seeOther(token === undefined ? '/' : '/sign-in');
  }
  if (asked.path !== '/sign-in') return undefined;
  const next = ownPath(asked.form?.get('next') ?? asked.query.get('next'));
  const show = (status: number, wrong: string | null): Answer => ({
    status,
    body: page({ csrf: asked.csrf, next, wrong }),
    type: 'text/html; charset=utf-8',
  });
  if (token === undefined) return seeOther(next);
  if (asked.method === 'GET') return show(200, null);
  if (asked.method !== 'POST') return notAllowed('GET', 'POST');
  if (!same(asked.form?.get('token') ?? '', token)) return show(403, 'That is not the token of this page.');
  browsers.signIn(reply);
  return seeOther(next);
}

/** A path of this server, and nothing that a browser takes for another one. */
function ownPath(path: string | null): string {
  const here = new URL('http://agent.invalid');
  try {
    const url = new URL(path ?? '/', here);
    return url.origin === here.origin && path?.startsWith('/') === true ? url.pathname + url.search : '/';
  } catch {
    return '/';
  }
}
