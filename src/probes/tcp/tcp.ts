import type { TcpEvidence } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import type { Limits, Probe } from '../probe.js';

/** They carry no print data, but show that somebody is at home. */
const WEB_PORTS = [80, 443];

/** Connects to one port without sending a byte, and records what came of it. */
export async function connectRecord(
  target: Target,
  port: number,
  net: Net,
  limits: Limits,
): Promise<Omit<TcpEvidence, 'id'>> {
  const at = net.now().toISOString();
  const result = await net.tcpConnect(target.host, port, Math.min(limits.timeoutMs, limits.deadlineMs));
  return {
    source: 'tcp',
    what: `${port}/tcp`,
    about: 'target',
    subject: target.host,
    outcome: result.outcome,
    value: result.value,
    at,
    tookMs: result.tookMs,
  };
}

/** For what lies between two tries. */
const MARGIN_MS = 100;

/** The same once more for a port that gave no sign, where there is time: a call that got lost is no firewall's silence. */
async function connectTwice(target: Target, port: number, net: Net, limits: Limits) {
  const start = net.monotonic();
  let record = await connectRecord(target, port, net, limits);
  for (let again = 0; again < limits.retries && record.outcome === 'silent'; again += 1) {
    if (limits.deadlineMs - (net.monotonic() - start) < limits.timeoutMs + MARGIN_MS) break;
    record = await connectRecord(target, port, net, limits);
  }
  return { ...record, tookMs: Math.round(Math.max(record.tookMs, net.monotonic() - start)) };
}

/**
 * Connects to every print port of the target and to its web ports, all at once, without sending a byte.
 * `tookMs` matters: an "unreachable" at once is a firewall's word, one after about three seconds is absence.
 */
export const tcpProbe: Probe = {
  id: 'tcp',
  run: (target, net, limits) => {
    const ports = [...new Set([...target.printPorts, ...WEB_PORTS])];
    return Promise.all(ports.map((port) => connectTwice(target, port, net, limits)));
  },
};
