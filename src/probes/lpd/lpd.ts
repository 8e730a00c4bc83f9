import { isIP } from 'node:net';
import type { LpdValue, Observation, Outcome } from '../../model/evidence.js';
import type { LpdQueue, Target } from '../../model/target.js';
import type { Net, TcpEnd, TcpExchangeResult } from '../../net/net.js';
import { type StateForm, stateRequest } from '../../wire/lpd/request.js';
import { MOST_STATE_OCTETS, readState, stateText } from '../../wire/lpd/state.js';
import { isText } from '../../wire/reply-text.js';
import type { Limits, Probe } from '../probe.js';

/**
 * Asks line printer daemons for the state of the queues that a person or the configuration named by an lpd URI (RFC 1179
 * 5.3), and where jobs wait for their files and sizes too (5.4). Without such a URI no daemon is called. RFC 1179 3.1
 * wants source ports 721 to 731, which need privileges; an ordinary port is used, as most daemons no longer insist.
 */
export const lpdProbe: Probe = {
  id: 'lpd',
  run: async (target, net, limits) => {
    const asked = await Promise.all((target.lpdQueues ?? []).map((queue) => askQueue(queue, target, net, limits)));
    return asked.flat();
  },
};

async function askQueue(queue: LpdQueue, target: Target, net: Net, limits: Limits): Promise<Observation[]> {
  const host = queue.host ?? target.host;
  if (queue.host === undefined && isIP(host) === 0) return [];
  const started = net.monotonic();
  const short = await ask(queue, host, 'short', net, Math.min(limits.timeoutMs, limits.deadlineMs));
  const left = limits.deadlineMs - (net.monotonic() - started);
  const waiting = short.value === null ? 0 : readState(short.value.text).jobs.length;
  if (short.outcome !== 'answered' || waiting === 0 || left <= 0) return [short];
  return [short, await ask(queue, host, 'long', net, Math.min(limits.timeoutMs, left))];
}

type LpdObservation = Extract<Observation, { source: 'lpd' }>;

async function ask(
  { uri, port, queue, host: own }: LpdQueue,
  host: string,
  form: StateForm,
  net: Net,
  deadlineMs: number,
): Promise<LpdObservation> {
  const at = net.now().toISOString();
  const record = { source: 'lpd', what: `${form} state`, about: own === undefined ? 'target' : 'queue' } as const;
  const send = stateRequest(queue, form);
  if (send === undefined) return { ...record, subject: uri, outcome: 'failed', value: null, at, tookMs: 0 };
  const result = await net.tcpExchange({ host, port, send, deadlineMs, maxBytes: MOST_STATE_OCTETS });
  return { ...record, subject: uri, ...reading(result), at, tookMs: result.tookMs };
}

/** RFC 1179 5.3 and 5.4 have no other mark of an answer's end than the daemon's close. */
const CUT: Readonly<Record<TcpEnd, string | null>> = {
  closed: null,
  complete: null,
  'too-long': `The first ${MOST_STATE_OCTETS} octets were read: more may have followed.`,
  deadline: 'The daemon did not close the connection after its answer: more may have followed.',
  broken: 'The connection was cut in the answer: more may have followed.',
};

function reading({ outcome, received, end }: TcpExchangeResult): { outcome: Outcome; value: LpdValue | null } {
  if (received.length === 0) return { outcome, value: null };
  const text = stateText(received);
  const cut = CUT[end];
  return {
    outcome: text !== '' && isText(received) ? 'answered' : 'garbled',
    value: { text, ...(cut === null ? {} : { problems: [cut] }) },
  };
}
