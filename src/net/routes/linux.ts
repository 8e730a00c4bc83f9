import type { RouteValue } from '../../model/evidence.js';

export type Route = Omit<RouteValue, 'carrier'>;

export const NO_ROUTE: Route = { kind: 'route', reach: 'none', interface: null, gateway: null };

/** Route types that stop a packet on this machine (ip-route(8)). */
const DEAD_TYPES = new Set(['unreachable', 'blackhole', 'prohibit', 'throw']);

/** The one route of `ip -j route get ADDRESS`. Undefined when the text is no such reply. */
export function parseIpRoute(json: string): Route | undefined {
  let list: unknown;
  try {
    list = JSON.parse(json);
  } catch {
    return undefined;
  }
  const route = (Array.isArray(list) ? list[0] : undefined) as Record<string, unknown> | undefined;
  if (route === undefined || route === null || typeof route !== 'object') return undefined;
  if (typeof route.type === 'string' && DEAD_TYPES.has(route.type)) return NO_ROUTE;
  const device = typeof route.dev === 'string' ? route.dev : null;
  if (route.type === 'local') return { kind: 'route', reach: 'loopback', interface: device, gateway: null };
  const via = route.via as { host?: unknown } | undefined;
  const gateway = typeof route.gateway === 'string' ? route.gateway : typeof via?.host === 'string' ? via.host : null;
  return { kind: 'route', reach: gateway === null ? 'onlink' : 'routed', interface: device, gateway };
}

/** Flag bits of /proc/net/route (linux/route.h): usable, through a gateway, rejecting. */
const UP = 0x0001;
const GATEWAY = 0x0002;
const REJECT = 0x0200;

interface KernelRoute {
  readonly device: string;
  readonly destination: number;
  readonly gateway: number;
  readonly flags: number;
  readonly metric: number;
  readonly mask: number;
}

/**
 * The route to an IPv4 address by /proc/net/route, for machines without the `ip` program: the longest matching mask,
 * then the lowest metric.
 */
export function routeFromProc(text: string, address: string): Route {
  const wanted = toNumber(address);
  if (wanted === undefined) return NO_ROUTE;
  const best = parseProcRoutes(text)
    .filter((route) => (route.flags & UP) !== 0 && (wanted & route.mask) >>> 0 === route.destination)
    .sort((a, b) => b.mask - a.mask || a.metric - b.metric)[0];
  if (best === undefined || (best.flags & REJECT) !== 0) return NO_ROUTE;
  const gateway = (best.flags & GATEWAY) === 0 ? null : toText(best.gateway);
  return { kind: 'route', reach: gateway === null ? 'onlink' : 'routed', interface: best.device, gateway };
}

function parseProcRoutes(text: string): readonly KernelRoute[] {
  return text.split('\n').flatMap((line) => {
    const [device, destination, gateway, flags, , , metric, mask] = line.trim().split(/\s+/);
    if (device === undefined || mask === undefined || !/^[0-9A-F]{8}$/i.test(mask)) return [];
    return [
      {
        device,
        destination: swapped(destination),
        gateway: swapped(gateway),
        flags: Number.parseInt(flags ?? '0', 16),
        metric: Number.parseInt(metric ?? '0', 10),
        mask: swapped(mask),
      },
    ];
  });
}

/** The file prints addresses as the machine's own words: on the little-endian machines at hand the octets are reversed. */
function swapped(hex: string | undefined): number {
  const octets = (hex ?? '').match(/../g) ?? [];
  return Number.parseInt(octets.reverse().join('') || '0', 16) >>> 0;
}

function toNumber(address: string): number | undefined {
  const parts = address.split('.').map(Number);
  if (parts.length !== 4 || !parts.every((part) => Number.isInteger(part) && part >= 0 && part <= 255))
    return undefined;
  return parts.reduce((sum, part) => sum * 256 + part, 0);
}

function toText(value: number): string {
  return [24, 16, 8, 0].map((shift) => (value >>> shift) & 255).join('.');
}
