import type { IppExchangeValue } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import type { IppAddress } from '../../wire/ipp/uri.js';
import { startBudget } from './budget.js';
import { askIpp } from './exchange.js';

/**
 * Asks a printer to identify itself (Identify-Printer, PWG 5100.13 5.1): it blinks, beeps or shows a message, in whatever way
 * is its own default, and changes nothing else. The only request of this program that a person beside the printer
 * notices, so it goes out when somebody asks for it and at no other time. Asked once, never repeated.
 */
export async function identifyPrinter(
  net: Net,
  address: IppAddress,
  asked: { readonly timeoutMs: number; readonly user?: string; readonly version: string | null },
): Promise<IppExchangeValue> {
  const budget = startBudget(net, {
    timeoutMs: asked.timeoutMs,
    deadlineMs: 2 * asked.timeoutMs,
    retries: 0,
    credentials: [],
  });
  const version = asked.version?.startsWith('1') === true ? '1.1' : '2.0';
  const user = asked.user === undefined ? {} : { user: asked.user };
  const answer = await askIpp(net, budget, address, { operation: 'Identify-Printer', version, ...user });
  return answer.value;
}
