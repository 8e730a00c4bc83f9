import { dnsSdTarget } from './dns-sd.js';
import { ippTarget } from './ipp.js';
import { lpdTarget, pjlTarget } from './lines.js';
import { snmpTarget } from './snmp.js';
import type { FuzzTarget } from './target.js';

/** Everything that answers this program over a network and is decoded by it. */
export const TARGETS: readonly FuzzTarget[] = [snmpTarget, ippTarget, dnsSdTarget, pjlTarget, lpdTarget];
