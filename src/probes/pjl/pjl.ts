import { isIPv6 } from 'node:net';
import type { Observation, Outcome, PjlValue } from '../../model/evidence.js';
import type { TcpExchangeResult } from '../../net/net.js';
import { statusRequest } from '../../wire/pjl/request.js';
import { isStatusComplete, MOST_STATUS_OCTETS, readStatus, saysSomething } from '../../wire/pjl/status.js';
import type { Probe } from '../probe.js';

/** Without these outcomes there is no point in calling the raw port again. */
const WORTH_ASKING: ReadonlySet<Outcome> = new Set(['answered', 'refused']);

/**
 * Asks the printer's state over its raw port, where the configuration allows it for this printer and nowhere else. It
 * runs after all others: many printers take one raw connection at a time. A port that refused before is tried again,
 * since that tells a busy port from a closed one.
 */
export const pjlProbe: Probe = {
  id: 'pjl',
  late: (target, seen) => {
    if (target.pjl === undefined) return false;
    const tried = seen.find((r) => r.source === 'tcp' && r.what === `${target.pjl?.port}/tcp`);
    return tried === undefined || WORTH_ASKING.has(tried.outcome);
  },
  run: async (target, net, limits) => {
    if (target.pjl === undefined) return [];
    const { port } = target.pjl;
    const at = net.now().toISOString();
    const result = await net.tcpExchange({
      host: target.host,
      port,
      send: statusRequest(),
      deadlineMs: Math.min(limits.timeoutMs, limits.deadlineMs),
      maxBytes: MOST_STATUS_OCTETS,
      isComplete: isStatusComplete,
    });
    const host = isIPv6(target.host) ? `[${target.host}]` : target.host;
    const observation: Observation = {
      source: 'pjl',
      what: 'INFO STATUS',
      about: 'target',
      subject: `socket://${host}:${port}`,
      ...reading(result),
      at,
      tookMs: result.tookMs,
    };
    return [observation];
  },
};

const NOTHING: Omit<PjlValue, 'problems'> = { code: null, display: null, online: null };

/** A connection that was taken without a word is a value; one that never came about has only its outcome. */
function reading(result: TcpExchangeResult): { outcome: Outcome; value: PjlValue | null } {
  if (!result.connected) return { outcome: result.outcome, value: null };
  if (result.received.length === 0) {
    const problems = [
      result.end === 'closed'
        ? 'The connection was taken and closed without a word.'
        : 'The connection was taken, but no word came.',
    ];
    return { outcome: result.outcome === 'refused' ? 'refused' : 'silent', value: { ...NOTHING, problems } };
  }
  const value = readStatus(result.received);
  const long = result.end === 'too-long' ? ['The reply had no end within 8 KiB; its beginning was read.'] : [];
  return {
    outcome: saysSomething(value) ? 'answered' : 'garbled',
    value: { ...value, problems: [...value.problems, ...long] },
  };
}
