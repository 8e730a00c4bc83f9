import ipaddr from 'ipaddr.js';
import { NO_ROUTE, type Route } from './linux.js';

interface PrintedRoute {
  readonly network: ipaddr.IPv4;
  readonly bits: number;
  /** Null when the destination lies on the link: the column then holds a word in the system's language. */
  readonly gateway: string | null;
  /** Own address of the interface. */
  readonly device: string;
  readonly metric: number;
}

/**
 * The route to an IPv4 address by Windows `route print -4`: destination, mask, gateway, own address, metric. Headings
 * and the word for on-link follow the system's language, so rows are told by their shape. The longest mask wins, then
 * the lowest metric. `interface` is the interface's own address.
 */
export function routeFromPrint(text: string, address: string): Route {
  if (!ipaddr.IPv4.isValidFourPartDecimal(address)) return NO_ROUTE;
  const wanted = ipaddr.IPv4.parse(address);
  const best = text
    .split(/\r?\n/)
    .flatMap(parseRow)
    .filter((route) => wanted.match(route.network, route.bits))
    .sort((a, b) => b.bits - a.bits || a.metric - b.metric)[0];
  if (best === undefined) return NO_ROUTE;
  const reach =
    wanted.range() === 'loopback' || best.device === address ? 'loopback' : best.gateway ? 'routed' : 'onlink';
  return { kind: 'route', reach, interface: best.device, gateway: reach === 'routed' ? best.gateway : null };
}

function parseRow(line: string): readonly PrintedRoute[] {
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
