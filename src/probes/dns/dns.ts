import { isIP } from 'node:net';
import type { Target } from '../../model/target.js';
import type { Probe } from '../probe.js';

/** Looks up the target's name. A target known by its address alone has no name to look up. */
export const dnsProbe: Probe = {
  id: 'dns',
  run: async (target, net, limits) => {
    const name = nameOf(target);
    if (name === null) return [];
    const at = net.now().toISOString();
    const found = await net.resolve(name, Math.min(limits.timeoutMs, limits.deadlineMs));
    return [
      {
        source: 'dns',
        what: name,
        about: 'target',
        subject: target.host,
        outcome: found.outcome,
        value: { addresses: found.addresses, ...(found.code === undefined ? {} : { code: found.code }) },
        at,
        tookMs: found.tookMs,
      },
    ];
  },
};

/**
 * The name to look up. The label is no such name: it may be what the configuration calls the printer, which no name
 * server has to know.
 */
function nameOf(target: Target): string | null {
  if (target.hostName !== undefined) return target.hostName;
  return isIP(target.host) === 0 ? target.host : null;
}
