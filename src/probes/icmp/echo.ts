import type { Observation } from '../../model/evidence.js';
import type { Target } from '../../model/target.js';
import type { Net } from '../../net/net.js';
import type { Limits } from '../probe.js';

/** One echo to the target, of the system's usual size unless `octets` says otherwise, as the record called `what`. */
export async function echo(
  what: string,
  target: Target,
  net: Net,
  limits: Limits,
  ...octets: [number?]
): Promise<Observation> {
  const at = net.now().toISOString();
  const start = net.monotonic();
  const { outcome, rttMs } = await net.ping(target.host, Math.min(limits.timeoutMs, limits.deadlineMs), ...octets);
  return {
    source: 'icmp',
    what,
    about: 'target',
    subject: target.host,
    outcome,
    value: rttMs === null ? null : { rttMs },
    at,
    tookMs: Math.round(net.monotonic() - start),
  };
}
