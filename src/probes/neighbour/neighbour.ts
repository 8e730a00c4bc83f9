import { isIP, isIPv6 } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import type { About, Observation, Outcome, RouteValue } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import type { Limits, Probe } from '../probe.js';
import { elsewhereOnLink } from './elsewhere.js';
import { askEntry } from './entry.js';
import { fellowControls } from './fellows.js';
import { gatewayControls } from './gateway.js';
import { proxiedToo } from './proxied.js';

/**
 * How this machine reaches the target, whether the target's hardware address resolves, and the same for controls: the
 * gateway and up to three other hosts of the link. Without living controls a silent target can't be told from a dead link.
 */
export const neighbourProbe: Probe = {
  id: 'neighbour',
  run: async (target, net, limits) => {
    const address = await addressOf(target.host, net, limits);
    if (address === null) return [await routeRecord(net, 'self', null)].map((found) => found.record);
    const [own, toTarget] = await Promise.all([
      routeRecord(net, 'self', isIPv6(address) ? OFF_LINK_6 : OFF_LINK_4),
      routeRecord(net, 'target', address),
    ]);
    const records = await askAround({ ...target, host: address }, toTarget.route, own.route, net, limits);
    return [own.record, toTarget.record, ...records];
  },
};

/**
 * Addresses on nobody's link: only the default route matches them, and nothing is ever sent there. Reserved for future
 * use (RFC 1112 section 4); the discard-only prefix (RFC 6666).
 */
const OFF_LINK_4 = '240.0.0.1';
const OFF_LINK_6 = '100::1';

/** Share of the probe's time that is left for what happens beside the waiting: programs start slowly on a busy machine. */
const MARGIN = 0.2;

async function addressOf(host: string, net: Net, limits: Limits): Promise<string | null> {
  if (isIP(host) !== 0) return host;
  const found = await net.resolve(host, Math.min(limits.timeoutMs, limits.deadlineMs));
  return found.addresses[0] ?? null;
}

async function askAround(
  { host: address, expected }: Target,
  route: RouteValue | null,
  own: RouteValue | null,
  net: Net,
  limits: Limits,
): Promise<readonly Observation[]> {
  if (route === null || route.reach === 'loopback' || route.reach === 'none') return [];
  // The kernel takes three seconds to say that nobody has an address: worth waiting for, while the probe has the time.
  const timeoutMs = Math.max(Math.min(limits.timeoutMs, limits.deadlineMs), limits.deadlineMs * (1 - MARGIN));
  if (route.reach === 'routed') return gatewayControls(route.gateway, limits.timeoutMs, net, timeoutMs);
  // The default gateway is a control for this link only if it sits on it.
  const gateway = own?.interface === route.interface ? own.gateway : null;
  const entry = askEntry('target', address, net, timeoutMs);
  const parts = [
    entry.then((found) => [found]),
    gateway === address ? [] : gatewayControls(gateway, null, net, timeoutMs),
    fellowControls(address, gateway, route.interface, net, timeoutMs),
    proxiedToo(address, entry.then(macOf), net),
    elsewhereOnLink(address, expected?.mac, net, timeoutMs),
  ];
  return whatCameIn(parts, limits.deadlineMs);
}

function macOf(record: Observation): string | null {
  return record.source === 'neighbour' && record.value?.kind === 'entry' ? record.value.mac : null;
}

/** The parts that ended in time, in their order: one that is late takes none of the others with it. */
async function whatCameIn(
  parts: readonly (readonly Observation[] | Promise<readonly Observation[]>)[],
  deadlineMs: number,
): Promise<readonly Observation[]> {
  const came: (readonly Observation[])[] = parts.map(() => []);
  const all = Promise.all(
    parts.map(async (part, i) => {
      came[i] = await part;
    }),
  );
  const stop = new AbortController();
  await Promise.race([all, sleep(deadlineMs, undefined, { signal: stop.signal }).catch(() => undefined)]);
  stop.abort();
  return came.flat();
}

interface RouteRecord {
  readonly record: Observation;
  readonly route: RouteValue | null;
}

/** About the target: the way to it. About this machine: its default route. */
async function routeRecord(net: Net, about: About, address: string | null): Promise<RouteRecord> {
  const at = net.now().toISOString();
  const start = net.monotonic();
  const route = await net.route(address ?? OFF_LINK_4);
  const outcome: Outcome = route === null || route.reach === 'none' ? 'failed' : 'answered';
  const record: Observation = {
    source: 'neighbour',
    what: 'route',
    about,
    subject: about === 'self' || address === null ? 'default' : address,
    outcome,
    value: route,
    at,
    tookMs: Math.round(net.monotonic() - start),
  };
  return { record, route };
}
