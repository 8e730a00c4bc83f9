import type { Observation } from '../../model/evidence.js';
import type { Probe } from '../probe.js';

/** They carry no print data, but show that somebody is at home. */
const WEB_PORTS = [80, 443];

/**
 * Connects to every print port of the target and to its web ports, all at once, without sending a byte.
 * `tookMs` matters: an "unreachable" at once is a firewall's word, one after about three seconds is absence.
 */
export const tcpProbe: Probe = {
  id: 'tcp',
  run: async (target, net, limits) => {
    const ports = [...new Set([...target.printPorts, ...WEB_PORTS])];
    const timeoutMs = Math.min(limits.timeoutMs, limits.deadlineMs);
    return Promise.all(
      ports.map(async (port): Promise<Observation> => {
        const at = net.now().toISOString();
        const result = await net.tcpConnect(target.host, port, timeoutMs);
        return {
          source: 'tcp',
          what: `${port}/tcp`,
          about: 'target',
          subject: target.host,
          outcome: result.outcome,
          value: result.value,
          at,
          tookMs: result.tookMs,
        };
      }),
    );
  },
};
