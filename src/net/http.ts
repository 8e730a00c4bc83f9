import { Buffer } from 'node:buffer';
import { performance } from 'node:perf_hooks';
import { withoutZone } from '../model/uri.js';
import { type Attempt, attempt, type Place } from './http-attempt.js';
import type { HttpRequest, HttpResult } from './net.js';

const MOST_REDIRECTS = 3;
/** Redirects that keep method and body; 301 and 302 do so here too, as a POST turned into a GET asks nothing. */
const REDIRECTS = new Set([301, 302, 307, 308]);

/**
 * One HTTP exchange under a deadline for the whole of it (name, connection, TLS, redirects, body) and a cap on octets.
 * It never rejects: what went wrong is in `outcome` and `error`.
 *
 * - `answered`: a complete reply, whatever its status.
 * - `refused`, `silent`, `failed`: the transport's own word; a reset after the connection stood is `failed`;
 *   `tls`: no TLS session came about, `tls.error` has the code; `body-slow`: the reply began but did not end in time.
 * - `garbled`: no HTTP (`HPE_…`), or a body that was cut (`body-cut`) or too large (`body-too-large`: beyond the cap, or half a
 *   mebibyte and no end when time was up); what came is in `body`.
 *
 * Redirects are followed to the same host only, three at most, and never from https to http. A port that takes print data is never
 * asked: `failed`, `print-data-port`.
 */
export async function httpExchange(request: HttpRequest): Promise<HttpResult> {
  const start = performance.now();
  const elapsed = (): number => performance.now() - start;
  const left = (): number => request.timeoutMs - elapsed();
  const { uri, zone } = withoutZone(request.url);
  const url = parsed(uri);
  const result = await answerFrom(url, zone, request, left);
  return { ...result, tookMs: Math.round(elapsed()) };
}

/** A printer may announce any port as its IPP service: one that prints whatever comes is not asked at all. */
async function answerFrom(
  url: URL | undefined,
  zone: string | undefined,
  request: HttpRequest,
  left: () => number,
): Promise<Attempt> {
  if (url === undefined) return nothing('EINVAL');
  return PRINT_DATA.test(url.port) ? nothing('print-data-port') : follow({ url, zone }, request, left);
}

async function follow(
  first: Place,
  request: HttpRequest,
  left: () => number,
): Promise<Attempt & { readonly url: string }> {
  let place = first;
  for (let redirects = 0; ; redirects += 1) {
    const result = await withFreshConnectionIfStale(place, request, left);
    const next = redirectOf(place.url, result);
    if (next === undefined || redirects === MOST_REDIRECTS || left() <= 0) return { ...result, url: place.url.href };
    place = { ...place, url: next };
  }
}

/** A kept connection may have been closed by the other side meanwhile: that is no answer, so it is asked once anew. */
async function withFreshConnectionIfStale(place: Place, request: HttpRequest, left: () => number): Promise<Attempt> {
  const once = request.once === true;
  const { staleConnection, ...kept } = await attempt(place, request, left(), once);
  return !once && staleConnection === true && left() > 0 ? attempt(place, request, left(), true) : kept;
}

/** What is sent there is printed: RFC 1179 section 3.1; 9100 and those after it by common practice, no published source. */
const PRINT_DATA = /^(515|910\d)$/;

function redirectOf(from: URL, result: Pick<Attempt, 'status' | 'headers'>): URL | undefined {
  if (result.status === null || !REDIRECTS.has(result.status)) return undefined;
  const to = parsed(result.headers.location ?? '', from);
  if (to === undefined || to.hostname !== from.hostname || PRINT_DATA.test(to.port)) return undefined;
  return from.protocol === 'https:' && to.protocol === 'http:' ? undefined : to;
}

/** An http or https URL without user and password; undefined for anything else. */
function parsed(text: string, base?: URL): URL | undefined {
  try {
    const url = new URL(text, base);
    url.username = '';
    url.password = '';
    return url.protocol === 'http:' || url.protocol === 'https:' ? url : undefined;
  } catch {
    return undefined;
  }
}

function nothing(error: string): Attempt {
  return { outcome: 'failed', status: null, headers: {}, body: Buffer.alloc(0), error };
}
