import { isIPv6 } from 'node:net';
import ipaddr from 'ipaddr.js';
import { NO_ROUTE, type Route } from './linux.js';

interface PrintedRoute {
  readonly network: ipaddr.IPv4 | ipaddr.IPv6;
  readonly bits: number;
  /** Null when the destination lies on the link: the column then holds a word in the system's language. */
  readonly gateway: string | null;
  /** Own address of the interface; for IPv6 its number. */
  readonly device: string;
  readonly metric: number;
}

/**
 * The route to an address by Windows `route print -4` (destination, mask, gateway, own address, metric) or `-6` (interface number,
 * metric, destination, gateway). Headings and the word for on-link follow the system's language, so rows are told by their
 * shape. The longest mask wins, then the lowest metric. Undefined when the text holds no row: even a machine without any network
 * has those of loopback.
 */
export function routeFromPrint(text: string, address: string): Route | undefined {
  const [bare = address, zone] = address.split('%', 2);
  if (!ipaddr.isValid(bare)) return NO_ROUTE;
  const lines = text.split(/\r?\n/);
  const routes = isIPv6(bare) ? lines.flatMap(ipv6Row) : lines.flatMap(ipv4Row);
  if (routes.length === 0) return undefined;
  const wanted = ipaddr.parse(bare);
  const best = routes
    .filter((route) => wanted.match(route.network, route.bits) && isOfZone(route, zone))
    .sort((a, b) => b.bits - a.bits || a.metric - b.metric)[0];
  if (best === undefined) return NO_ROUTE;
  const reach =
    wanted.range() === 'loopback' || best.device === address ? 'loopback' : best.gateway ? 'routed' : 'onlink';
  return { kind: 'route', reach, interface: best.device, gateway: reach === 'routed' ? best.gateway : null };
}

/** A link-local address counts on the interface that its zone names (RFC 4007 section 11), which is a number here. */
function isOfZone({ device }: PrintedRoute, zone: string | undefined): boolean {
  return zone === undefined || !/^\d+$/.test(zone) || device === zone;
}

function ipv4Row(line: string): readonly PrintedRoute[] {
  const words = line.trim().split(/\s+/);
  const [destination = '', mask = ''] = words;
  const device = words.at(-2) ?? '';
  const metric = Number(words.at(-1));
  const isAddress = ipaddr.IPv4.isValidFourPartDecimal;
  if (words.length < 5 || !isAddress(destination) || !isAddress(mask) || !isAddress(device)) return [];
  const bits = ipaddr.IPv4.parse(mask).prefixLengthFromSubnetMask();
  if (bits === null || !Number.isInteger(metric)) return [];
  const gateway = words[2] ?? '';
  return [
    { network: ipaddr.IPv4.parse(destination), bits, gateway: isAddress(gateway) ? gateway : null, device, metric },
  ];
}

/** After a long destination the gateway stands alone in the next line. Rows of no interface (0) are kept for later, not in use. */
function ipv6Row(line: string, index: number, lines: readonly string[]): readonly PrintedRoute[] {
  const [device = '', metric = '', destination = '', ...rest] = line.trim().split(/\s+/);
  if (!/^[1-9]\d*$/.test(device) || !/^\d+$/.test(metric) || !ipaddr.IPv6.isValidCIDR(destination)) return [];
  const gateway = rest.length > 0 ? rest.join(' ') : (lines[index + 1] ?? '').trim();
  const [network, bits] = ipaddr.IPv6.parseCIDR(destination);
  return [{ network, bits, gateway: isIPv6(gateway) ? gateway : null, device, metric: Number(metric) }];
}
