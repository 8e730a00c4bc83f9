import type { Net } from '../../net/net.js';
import { IPP_PORT, type IppAddress, ippAddress } from '../../wire/ipp/uri.js';
import type { Budget } from './budget.js';
import { type IppAnswer, type IppQuestion, isSuccess } from './exchange.js';
import { type Answered, askWithFallback, isMarkup, type Tried, triedOf } from './fallback.js';

/** Where printers serve IPP: RFC 8011's recommended path first (PWG 5100.12), the others common practice, no published source. */
const PATHS = ['/ipp/print', '/ipp/printer', '/ipp', '/'];
const HTTPS_PORT = 443;
const NOT_FOUND = ['client-error-not-found', 'client-error-gone'];

/** Where to look on a host: the configured address first, then the usual paths beside it. */
export function candidates(host: string, configured: IppAddress | undefined, queueName: string): IppAddress[] {
  const base = configured ?? ippAddress(host, IPP_PORT, false, PATHS[0] ?? '/');
  const named = /^[\w.-]+$/.test(queueName) && queueName !== host ? [`/printers/${queueName}`] : [];
  const beside = [...PATHS, ...named].map((path) => ippAddress(base.host, base.port, base.tls, path));
  return [base, ...beside.filter((address) => address.path !== base.path)];
}

/**
 * Asks the candidates one after the other until one answers as a printer, wants a sign-in, or does not answer at all.
 * A server that wants TLS (HTTP 426, or no HTTP on a plain connection) is asked over TLS on the same port, once. Where
 * port 631 is closed, or wants TLS and then gives no session, and nobody configured another, IPP over HTTPS is looked for
 * on 443. Without success the answer that says most is given.
 */
export async function discover(
  net: Net,
  budget: Budget,
  addresses: readonly IppAddress[],
  question: IppQuestion,
  mayTryHttps: boolean,
): Promise<Answered> {
  const log: { answer: IppAnswer; earlier: readonly Tried[] }[] = [];
  let queue = [...addresses];
  let best: IppAnswer | undefined;
  for (let address = queue.shift(); address !== undefined; address = queue.shift()) {
    const { answer, tried } = await askWithFallback(net, budget, address, question, best !== undefined);
    log.push({ answer, earlier: tried });
    if (best === undefined || worth(answer) > worth(best)) best = answer;
    if (isOver(answer) || budget.left() <= 0) break;
    queue = whereNext(answer, queue, mayTryHttps);
  }
  if (best === undefined) throw new RangeError('there must be at least one address to ask');
  // Not only of the best answer: the plain one before it may say more and serve as little.
  if (mayTryHttps && log.some(({ answer }) => lacksSession(answer)) && budget.left() > 0) {
    const elsewhere = ippAddress(best.address.host, HTTPS_PORT, true, best.address.path);
    const { answer, tried } = await askWithFallback(net, budget, elsewhere, question, true);
    log.push({ answer, earlier: tried });
    if (isSuccess(answer.value.status)) best = answer;
  }
  const tried = log.flatMap(({ answer, earlier }) => (answer === best ? earlier : [...earlier, triedOf(answer)]));
  return { answer: best, tried };
}

/** What is still worth asking after an answer that did not serve. Over TLS nothing leads back to a plain connection. */
function whereNext(answer: IppAnswer, queue: readonly IppAddress[], mayTryHttps: boolean): IppAddress[] {
  const { address, value } = answer;
  if (wantsTls(answer)) return [address, ...queue].map(({ host, port, path }) => ippAddress(host, port, true, path));
  if (mayTryHttps && value.error === 'ECONNREFUSED' && !address.tls) {
    return [ippAddress(address.host, HTTPS_PORT, true, address.path)];
  }
  return value.httpStatus === null ? [] : [...queue];
}

/** A good answer ends the search; so does a wish for a sign-in (asking on could lock an account) and silence. */
function isOver({ outcome, value }: IppAnswer): boolean {
  return isSuccess(value.status) || value.httpStatus === 401 || outcome === 'silent';
}

function wantsTls({ address, outcome, value }: IppAnswer): boolean {
  if (address.tls) return false;
  if (value.httpStatus === 426) return true;
  return value.httpStatus === null && (outcome === 'garbled' || value.error === 'ECONNRESET');
}

/** TLS was wanted on a port that then made no session: the encrypted service may have a port of its own. */
function lacksSession({ address, outcome, value }: IppAnswer): boolean {
  return address.tls && address.port !== HTTPS_PORT && value.httpStatus === null && outcome !== 'silent';
}

/**
 * How much an answer says, for choosing among answers none of which served. A printer's own word comes before a web
 * server's; a start page at `/` is what every web server has, so it says least.
 */
function worth({ address, outcome, value }: IppAnswer): number {
  if (isSuccess(value.status)) return 100;
  if (outcome === 'denied') return 90;
  if (outcome === 'answered') return NOT_FOUND.includes(value.status ?? '') ? 75 : 80;
  if (outcome === 'garbled') return address.path === '/' && isMarkup(value.contentType) ? 10 : 60;
  if (value.httpStatus === null) return value.error === 'tls' ? 37 : 38;
  if (value.httpStatus >= 500) return 70;
  return value.httpStatus === 426 ? 35 : 40;
}
