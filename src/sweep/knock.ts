import { setTimeout as sleep } from 'node:timers/promises';
import type { Net, TcpResult } from '../net/net.js';
import type { Slots } from './pace.js';

/** What came of trying an address's TCP ports. */
export interface Knocked {
  /** Something is there now: a port opened or refused. */
  readonly alive: boolean;
  readonly open: readonly number[];
  /** Ports that gave no sign, not even after a second try. */
  readonly silent: readonly number[];
  /** A connection came about only after something had got lost. */
  readonly lossy: boolean;
}

export const NOT_KNOCKED: Knocked = { alive: false, open: [], silent: [], lossy: false };

/** The machine's own limits, not the network's answer: the question is asked again a moment later. */
const OWN_LIMITS = new Set(['EMFILE', 'ENFILE', 'ENOBUFS', 'EADDRNOTAVAIL', 'EAGAIN']);
const MOST_RETRIES = 8;
const RETRY_MS = 150;

/** A system sends its second call after a second (RFC 6298 section 2.1): whoever is met later was called twice. */
const CALLED_TWICE_MS = 950;

/** How to go about it. */
export interface Knocking {
  readonly net: Net;
  readonly slots: Slots;
  readonly timeoutMs: number;
  /** The host is known to be there: what gives no sign is tried once more. */
  readonly present: boolean;
}

/** Tries all ports at the same time. What is silent at a host that is there may have been lost, so it is tried once more. */
export async function knock(address: string, ports: readonly number[], how: Knocking): Promise<Knocked> {
  const first = await connectAll(address, ports, how);
  const silent = ports.filter((port) => first.get(port)?.outcome === 'silent');
  const there = how.present || [...first.values()].some(isLife);
  if (!there || silent.length === 0) return tally(ports, first);
  return tally(ports, new Map([...first, ...(await connectAll(address, silent, how))]));
}

async function connectAll(address: string, ports: readonly number[], how: Knocking): Promise<Map<number, TcpResult>> {
  const results = await Promise.all(
    ports.map(async (port) => [port, await how.slots.run(() => connect(address, port, how))] as const),
  );
  return new Map(results);
}

async function connect(address: string, port: number, { net, timeoutMs }: Knocking): Promise<TcpResult> {
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

function tally(ports: readonly number[], results: ReadonlyMap<number, TcpResult>): Knocked {
  const all = [...results.values()];
  const of = (outcome: TcpResult['outcome']): number[] =>
    ports.filter((port) => results.get(port)?.outcome === outcome);
  return {
    alive: all.some(isLife),
    open: of('answered').sort((a, b) => a - b),
    silent: of('silent'),
    lossy: all.some((result) => isLife(result) && result.tookMs >= CALLED_TWICE_MS),
  };
}
