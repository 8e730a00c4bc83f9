import { isIPv6 } from 'node:net';
import type { Observation } from '../../model/evidence.js';
import type { Probe } from '../probe.js';
import { echo } from './echo.js';

/** What an ethernet link carries, less the headers of the packet and of the echo (RFC 894, RFC 2464; RFC 792, RFC 4443). */
const FULL_4 = 1500 - 20 - 8;
const FULL_6 = 1500 - 40 - 8;

const open = (r: Observation): boolean => r.source === 'tcp' && r.about === 'target' && r.outcome === 'answered';
const echoed = (r: Observation): boolean => r.source === 'icmp' && r.what === 'echo' && r.outcome === 'answered';
const unanswered = (r: Observation): boolean =>
  r.source === 'ipp' &&
  r.what === 'Get-Printer-Attributes' &&
  (r.outcome === 'silent' || r.value?.error === 'body-slow');

/**
 * A full-sized echo that must not be cut on the way, where a print service takes calls and then says nothing, while small echoes
 * come back: packets that are too long may disappear without a word (RFC 2923 section 2.1).
 */
export const fullSizeProbe: Probe = {
  id: 'icmp',
  late: (_target, seen) => seen.some(open) && seen.some(echoed) && seen.some(unanswered),
  run: async (target, net, limits) => [
    await echo('full-sized echo', target, net, limits, isIPv6(target.host) ? FULL_6 : FULL_4),
  ],
};
