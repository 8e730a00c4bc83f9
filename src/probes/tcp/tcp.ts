import { setTimeout as sleep } from 'node:timers/promises';
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

/** An "unreachable" later than this is a search that ran out. */
const SOON_MS = 900;
/**
 * A router looks about three seconds for a host. Called this long after it gave up, it looks once more, for at least as long as a call
 * waits here; and one that says so once a second only has a word to spare by then.
 */
const PAUSE_MS = 1200;

/**
 * An "unreachable" that comes soon may end a search that another's calls began: whoever says so at once when called again is a firewall,
 * and what is said then counts.
 */
async function connectSurely(target: Target, port: number, net: Net, limits: Limits) {
  const start = net.monotonic();
  const record = await connectTwice(target, port, net, limits);
  const soon = record.value === 'EHOSTUNREACH' && record.tookMs < SOON_MS;
  const left = limits.deadlineMs - (net.monotonic() - start) - PAUSE_MS - MARGIN_MS;
  if (!soon || left < SOON_MS) return record;
  await sleep(PAUSE_MS);
  return connectRecord(target, port, net, { ...limits, deadlineMs: left });
}

/**
 * Connects to every print port of the target and to its web ports, all at once, without sending a byte.
 * `tookMs` matters: an "unreachable" at once is a firewall's word, one after about three seconds is absence.
 */
export const tcpProbe: Probe = {
  id: 'tcp',
  run: (target, net, limits) => {
    const ports = [...new Set([...target.printPorts, ...WEB_PORTS])];
    return Promise.all(ports.map((port) => connectSurely(target, port, net, limits)));
  },
};
