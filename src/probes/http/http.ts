import type { HttpValue, Observation } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import type { Limits, Probe } from '../probe.js';

/** A status page may be large; only its head is of interest. */
const MOST_OCTETS = 64 * 1024;
const SCHEMES = ['http', 'https'] as const;

/**
 * Whether the device serves a page on ports 80 and 443: status, Server header, certificate. The page itself is not read
 * for meaning. `answered` means that an HTTP reply came, whatever its status and even if its body was cut.
 */
export const httpProbe: Probe = {
  id: 'http',
  run: (target, net, limits) => Promise.all(SCHEMES.map((scheme) => askPage(scheme, target, net, limits))),
};

async function askPage(scheme: 'http' | 'https', target: Target, net: Net, limits: Limits): Promise<Observation> {
  const at = net.now().toISOString();
  const host = target.host.includes(':') ? `[${target.host}]` : target.host;
  const url = `${scheme}://${host}/`;
  const timeoutMs = Math.min(limits.timeoutMs, limits.deadlineMs);
  const result = await net.http({ url, method: 'GET', timeoutMs, maxBytes: MOST_OCTETS });
  const value: HttpValue = {
    url,
    status: result.status,
    ...(result.headers.server === undefined ? {} : { server: result.headers.server }),
    ...(result.tls === undefined ? {} : { tls: result.tls }),
    ...(result.error === undefined ? {} : { error: result.error }),
  };
  const outcome = result.status === null ? result.outcome : 'answered';
  return { source: 'http', what: 'GET /', about: 'target', subject: url, outcome, value, at, tookMs: result.tookMs };
}
