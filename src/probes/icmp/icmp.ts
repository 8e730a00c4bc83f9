import type { Probe } from '../probe.js';

/** One echo request to the target. */
export const icmpProbe: Probe = {
  id: 'icmp',
  run: async (target, net, limits) => {
    const at = net.now().toISOString();
    const start = net.monotonic();
    const echo = await net.ping(target.host, Math.min(limits.timeoutMs, limits.deadlineMs));
    return [
      {
        source: 'icmp',
        what: 'echo',
        about: 'target',
        subject: target.host,
        outcome: echo.outcome,
        value: echo.rttMs === null ? null : { rttMs: echo.rttMs },
        at,
        tookMs: Math.round(net.monotonic() - start),
      },
    ];
  },
};
