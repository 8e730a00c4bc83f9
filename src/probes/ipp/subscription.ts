import type { IppAttributes } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { type IppAddress, percentEncoded } from '../../wire/ipp/uri.js';
import { startBudget } from './budget.js';
import { askForReply, type IppQuestion, isSuccess } from './exchange.js';

/** The largest IPP integer (RFC 8011 section 5.1.5): a number beyond it can't be asked for. */
const MAX_INTEGER = 2 ** 31 - 1;

/** What a queue says by itself: it stopped, goes on, or a job of its got stuck (RFC 3995 section 5.3.3.4). */
const EVENTS = ['printer-state-changed', 'printer-stopped', 'job-state-changed'] as const;

/** One subscription at a queue. */
export interface Subscription {
  readonly id: number;
  /** How long the queue keeps it, unless it is renewed; 0: for ever. */
  readonly leaseSeconds: number;
}

export interface Asking {
  readonly net: Net;
  readonly address: IppAddress;
  readonly user: string;
  readonly timeoutMs: number;
}

/** `offered: false`: the queue answers and will have no subscription. */
export type Subscribed = Subscription | { readonly offered: boolean; readonly why: string };

/** What was told since the last look. `known: false`: the queue has let the subscription go. */
export type Told =
  | { readonly known: true; readonly events: number; readonly nextSequence: number; readonly intervalSeconds: number }
  | { readonly known: boolean; readonly why: string };

/** Create-Printer-Subscriptions (RFC 3995 section 11.1.2), to be pulled. Writes a subscription object at the queue, nothing else. */
export async function subscribe(asking: Asking, leaseSeconds: number): Promise<Subscribed> {
  const { reply, why } = await ask(asking, {
    operation: 'Create-Printer-Subscriptions',
    version: '2.0',
    wish: { events: EVENTS, leaseSeconds },
  });
  if (reply === undefined) return { offered: true, why };
  const [made] = reply.notices ?? [];
  const id = numberOf(made, 'notify-subscription-id');
  if (!isSuccess(reply.status) || id === undefined) return { offered: false, why: reply.status };
  return { id, leaseSeconds: numberOf(made, 'notify-lease-duration') ?? leaseSeconds };
}

/** Get-Notifications (RFC 3996 section 5): the events from `sequence` on, without waiting for one. */
export async function pull(asking: Asking, id: number, sequence: number): Promise<Told> {
  const { reply, why } = await ask(asking, {
    operation: 'Get-Notifications',
    version: '2.0',
    integers: { 'notify-subscription-ids': id, 'notify-sequence-numbers': sequence },
  });
  if (reply === undefined) return { known: true, why };
  if (!isSuccess(reply.status)) return { known: reply.status !== 'client-error-not-found', why: reply.status };
  const notices = reply.notices ?? [];
  const numbers = notices.map((one) => numberOf(one, 'notify-sequence-number') ?? 0);
  const own = notices.filter((one, at) => (numbers[at] ?? 0) >= sequence && isOf(asking.address, one));
  return {
    known: true,
    events: own.length,
    nextSequence: Math.max(sequence, ...numbers.map((number) => Math.min(number + 1, MAX_INTEGER))),
    intervalSeconds: numberOf(reply.attributes, 'notify-get-interval') ?? 0,
  };
}

/** A spooler may tell a subscription of one queue what happens to all of them: the event names its own (seen on Debian's, 2.4.2). */
function isOf({ path }: IppAddress, notice: IppAttributes): boolean {
  const name = notice['printer-name']?.[0]?.value;
  const queue = path.slice(path.lastIndexOf('/') + 1);
  return typeof name !== 'string' || percentEncoded(name).toLowerCase() === queue.toLowerCase();
}

/** Renew-Subscription (RFC 3995 section 11.2.6). True when the queue keeps it. */
export async function renew(asking: Asking, id: number): Promise<boolean> {
  const integers = { 'notify-subscription-id': id };
  const { reply } = await ask(asking, { operation: 'Renew-Subscription', version: '2.0', integers });
  return reply !== undefined && isSuccess(reply.status);
}

/** Cancel-Subscription (RFC 3995 section 11.2.7). Whether it was still there does not matter. */
export async function unsubscribe(asking: Asking, id: number): Promise<void> {
  const integers = { 'notify-subscription-id': id };
  await ask(asking, { operation: 'Cancel-Subscription', version: '2.0', integers });
}

async function ask({ net, address, user, timeoutMs }: Asking, question: IppQuestion) {
  const budget = startBudget(net, { timeoutMs, deadlineMs: 2 * timeoutMs, retries: 0, credentials: [] });
  const { answer, reply } = await askForReply(net, budget, address, { ...question, user });
  return { reply, why: answer.value.error ?? answer.outcome };
}

function numberOf(attributes: IppAttributes | undefined, name: string): number | undefined {
  const value = attributes?.[name]?.[0]?.value;
  return typeof value === 'number' ? value : undefined;
}
