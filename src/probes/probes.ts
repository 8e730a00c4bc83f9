import { dnsSdProbe } from './dns-sd/dns-sd.js';
import { httpProbe } from './http/http.js';
import { fullSizeProbe } from './icmp/full-size.js';
import { icmpProbe } from './icmp/icmp.js';
import { ippProbe, ippShowProbe } from './ipp/ipp.js';
import { lpdProbe } from './lpd/lpd.js';
import { neighbourProbe } from './neighbour/neighbour.js';
import { secondLookProbe } from './neighbour/second-look.js';
import { pjlProbe } from './pjl/pjl.js';
import type { Probe } from './probe.js';
import { snmpProbe } from './snmp/snmp-probe.js';
import { spoolerProbe } from './spooler/spooler.js';
import { switchProbe } from './switch/switch.js';
import { nobodysPortProbe } from './tcp/nobodys-port.js';
import { tcpProbe } from './tcp/tcp.js';

/**
 * Every probe that looks at a target whose address is known, in the order in which their records stand. The name is
 * looked up before these, since they need an address.
 */
export const PROBES: readonly Probe[] = [
  neighbourProbe,
  icmpProbe,
  tcpProbe,
  httpProbe,
  dnsSdProbe,
  snmpProbe,
  ippProbe,
  spoolerProbe,
  lpdProbe,
  switchProbe,
  pjlProbe,
  secondLookProbe,
  nobodysPortProbe,
  fullSizeProbe,
];

/** What `show` needs: the printer's own words. */
export const READING_PROBES: readonly Probe[] = [dnsSdProbe, snmpProbe, ippShowProbe];
