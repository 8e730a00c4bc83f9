import type { IppAttributes } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { type IppAddress, ippAddress, parseIppUri } from '../../wire/ipp/uri.js';
import type { Budget } from './budget.js';
import { type IppAnswer, type IppQuestion, isSuccess } from './exchange.js';
import { type Answered, askWithFallback, triedOf } from './fallback.js';

/** The addresses under which one printer takes further questions. */
export interface Ways {
  readonly known: IppAddress;
  /** Offered by the printer over TLS; taken away once it has not worked. */
  secured: IppAddress | undefined;
}

/**
 * Where to go on asking after a printer has answered: over TLS where it offers that, since computers that find the printer
 * by themselves will print that way (RFC 7472), and because its certificate shows there.
 */
export function waysAfter({ address, value }: IppAnswer): Ways {
  return { known: address, secured: address.tls ? undefined : securedAddress(address, value.attributes) };
}

/**
 * The TLS address that printer-uri-supported and uri-security-supported name (RFC 8011 5.4.1, 5.4.3: one entry of each
 * belongs together). Host and interface stay those that answered: a name of the printer's own may mean nothing here.
 */
function securedAddress(known: IppAddress, attributes: IppAttributes): IppAddress | undefined {
  const security = attributes['uri-security-supported'] ?? [];
  const offers = (attributes['printer-uri-supported'] ?? []).flatMap(({ value }, at) => {
    const uri = typeof value === 'string' ? parseIppUri(value) : undefined;
    return uri !== undefined && (uri.tls || security[at]?.value === 'tls') ? [uri] : [];
  });
  const offer = offers.find(({ path }) => path === known.path) ?? offers[0];
  return offer && ippAddress(known.host, offer.port, true, offer.path);
}

/**
 * Asks over TLS where that is offered, and by the way that is known to work where the answer over TLS is no success: what
 * counts then is the plain answer, with the certificate that was seen and what TLS gave beside it.
 */
export async function askByWays(net: Net, budget: Budget, ways: Ways, question: IppQuestion): Promise<Answered> {
  if (ways.secured === undefined) return askWithFallback(net, budget, ways.known, question);
  const first = await askWithFallback(net, halfOf(budget), ways.secured, question);
  if (isSuccess(first.answer.value.status)) return first;
  if (first.answer.value.httpStatus === null) ways.secured = undefined;
  if (budget.left() <= 0) return first;
  const second = await askWithFallback(net, budget, ways.known, question);
  const { tls } = first.answer.value;
  const value = tls?.validTo === undefined ? second.answer.value : { ...second.answer.value, tls };
  return {
    answer: { ...second.answer, value },
    tried: [...first.tried, triedOf(first.answer), ...second.tried],
  };
}

/** Leaves time for the other way. */
function halfOf(budget: Budget): Budget {
  const end = budget.left() / 2;
  const within = (ms: number): number => Math.max(1, Math.min(ms, budget.left() - end));
  return {
    left: () => budget.left() - end,
    connectMs: () => within(budget.connectMs()),
    readMs: () => within(budget.readMs()),
    nextRequestId: budget.nextRequestId,
  };
}
