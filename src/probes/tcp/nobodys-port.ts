import type { Probe } from '../probe.js';
import { connectRecord } from './tcp.js';

/** tcpmux (RFC 1078), which RFC 7805 retired: whoever opens this opens everything. */
export const NOBODYS_PORT = 1;
/** Open ports from which on it is worth asking for one that nobody has. */
const MANY_OPEN = 3;

/**
 * Connects to a port that nobody serves, where many are open and no print service spoke: a tarpit takes every call, and so does a
 * firewall that answers for what is behind it.
 */
export const nobodysPortProbe: Probe = {
  id: 'tcp',
  late: (_target, seen) =>
    seen.filter((r) => r.source === 'tcp' && r.about === 'target' && r.outcome === 'answered').length >= MANY_OPEN &&
    !seen.some((r) => r.source === 'ipp' && r.outcome === 'answered'),
  run: async (target, net, limits) => [await connectRecord(target, NOBODYS_PORT, net, limits)],
};
