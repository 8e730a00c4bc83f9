import { NO_ROUTE, type Route } from './linux.js';

/**
 * The reply of `route -n get ADDRESS` (BSD family, macOS): lines `gateway: …`, `interface: …`, `flags: <UP,GATEWAY,…>`.
 * `not in table` (FreeBSD: `not been found`) or a REJECT flag is no route. On an on-link route the gateway line, if any, names the interface. Undefined when the text is
 * no such reply.
 */
export function parseRouteGet(text: string): Route | undefined {
  if (/not in table|not been found/.test(text)) return NO_ROUTE;
  const device = field(text, 'interface');
  const flags = (field(text, 'flags') ?? '').replace(/[<>]/g, '').split(',');
  if (device === null) return undefined;
  if (flags.includes('REJECT') || flags.includes('BLACKHOLE')) return NO_ROUTE;
  if (/^lo\d*$/.test(device)) return { kind: 'route', reach: 'loopback', interface: device, gateway: null };
  const gateway = flags.includes('GATEWAY') ? field(text, 'gateway') : null;
  return { kind: 'route', reach: gateway === null ? 'onlink' : 'routed', interface: device, gateway };
}

function field(text: string, name: string): string | null {
  for (const line of text.split('\n')) {
    const [key, ...rest] = line.split(':');
    if (key?.trim() === name) return rest.join(':').trim().split(/\s/, 1)[0] || null;
  }
  return null;
}
