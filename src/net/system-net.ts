import { performance } from 'node:perf_hooks';
import { ABSENT, resolveAfresh } from './neighbours/fresh.js';
import { resolvedAddresses } from './neighbours/resolved.js';
import { openRouser } from './neighbours/rouse.js';
import { readNeighbourTable } from './neighbours/table.js';
import type { Net, ResolveResult } from './net.js';
import { ping } from './ping.js';
import { resolveName } from './resolve.js';
import { findRoute, isLoopback } from './routes/route.js';
import { openSnmpLate } from './snmp-late.js';
import { ownSubnets } from './subnets.js';
import { tcpConnect } from './tcp.js';
import { tcpExchange } from './tcp-exchange.js';

const monotonic = (): number => performance.now();

/** `Net` on the machine's own network, through Node and the system's own programs. */
export function createSystemNet(): Net {
  return {
    now: () => new Date(),
    monotonic,
    tcpConnect,
    tcpExchange,
    http: async (request) => (await import('./http.js')).httpExchange(request),
    snmp: openSnmpLate,
    resolve: resolveAnyhow,
    route: findRoute,
    neighbour: async (address, timeoutMs) =>
      isLoopback(address) ? ABSENT : resolveAfresh(address, timeoutMs, monotonic),
    neighbours: async () => (await readNeighbourTable()).map(({ confirmedSecondsAgo: _age, ...row }) => row),
    subnets: async () => ownSubnets(),
    ping,
    // Loaded on first use, so that the first question goes out without them.
    browse: async (...asked) => (await import('./mdns.js')).browse(...asked),
    discover: async (...asked) => (await import('./ws-discovery.js')).discover(...asked),
    rouser: openRouser,
    resolved: resolvedAddresses,
  };
}

/** The system's resolver first; a `.local` name that it does not know is asked for on the link (RFC 6762 section 3). */
async function resolveAnyhow(name: string, timeoutMs: number): Promise<ResolveResult> {
  const start = monotonic();
  const byName = await resolveName(name, timeoutMs);
  const left = timeoutMs - (monotonic() - start);
  if (byName.outcome === 'answered' || !/\.local\.?$/i.test(name) || left <= 0) return byName;
  const { resolveLocal } = await import('./mdns.js');
  const heard = await resolveLocal(name.replace(/\.$/, ''), left);
  const tookMs = Math.round(monotonic() - start);
  return heard.length === 0 ? { ...byName, tookMs } : { outcome: 'answered', addresses: heard, tookMs };
}
