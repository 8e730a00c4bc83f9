import type { Probe } from '../probe.js';
import { echo } from './echo.js';

/** One echo request to the target. */
export const icmpProbe: Probe = {
  id: 'icmp',
  run: async (target, net, limits) => [await echo('echo', target, net, limits)],
};
