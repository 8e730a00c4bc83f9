import { setTimeout as sleep } from 'node:timers/promises';
import type { Net, TcpResult } from '../net/net.js';
import type { Link } from './link.js';

/** What came of trying an address's TCP ports. */
export interface Knocked {
  /** Something is there now: a port opened or refused, or the link has just resolved the address. */
  readonly alive: boolean;
  /** The link knows a hardware address, perhaps from earlier: worth asking over SNMP. */
  readonly resolved: boolean;
  readonly open: readonly number[];
  /** Hardware address from the neighbour table, on-link only. */
  readonly mac: string | null;
}

/** The machine's own limits, not the network's answer: the question is asked again a moment later. */
const OWN_LIMITS = new Set(['EMFILE', 'ENFILE', 'ENOBUFS', 'EADDRNOTAVAIL', 'EAGAIN']);
const MOST_RETRIES = 8;
const RETRY_MS = 150;

/**
 * On the link one port is tried first: it makes the kernel resolve the address, and an address that does not resolve needs no
 * further question. Elsewhere all ports are tried at once, because nothing else tells whether somebody is there.
 */
export async function knock(
  address: string,
  ports: readonly number[],
  net: Net,
  link: Link,
  timeoutMs: number,
): Promise<Knocked> {
  if (link.reach(address) !== 'onlink') return tally(ports, await connectAll(address, ports, net, timeoutMs), null);
  const [first = 0, ...rest] = ports;
  const opening = await connect(address, first, net, timeoutMs);
  const row = await link.row(address);
  const resolved = row !== undefined && row.mac !== null && row.state !== 'failed' && row.state !== 'incomplete';
  if (!isLife(opening) && !resolved) return { alive: false, resolved: false, open: [], mac: null };
  const others = await connectAll(address, rest, net, timeoutMs);
  const result = tally(ports, [opening, ...others], row?.mac ?? null);
  // A row that only remembers an earlier answer is no life, if no port answered either.
  return { ...result, alive: result.alive || row?.state === 'reachable' };
}

async function connectAll(
  address: string,
  ports: readonly number[],
  net: Net,
  timeoutMs: number,
): Promise<readonly TcpResult[]> {
  return Promise.all(ports.map((port) => connect(address, port, net, timeoutMs)));
}

async function connect(address: string, port: number, net: Net, timeoutMs: number): Promise<TcpResult> {
  let result = await net.tcpConnect(address, port, timeoutMs);
  for (let again = 0; again < MOST_RETRIES && OWN_LIMITS.has(result.value); again += 1) {
    await sleep(RETRY_MS);
    result = await net.tcpConnect(address, port, timeoutMs);
  }
  return result;
}

function isLife(result: TcpResult): boolean {
  return result.outcome === 'answered' || result.outcome === 'refused';
}

function tally(ports: readonly number[], results: readonly TcpResult[], mac: string | null): Knocked {
  return {
    alive: results.some(isLife),
    open: ports.filter((_, index) => results[index]?.outcome === 'answered').sort((a, b) => a - b),
    resolved: mac !== null,
    mac,
  };
}
