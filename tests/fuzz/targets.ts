import { argvTarget } from './argv.js';
import { BESIDE_TARGETS } from './beside.js';
import { commandTarget } from './commands.js';
import { dnsSdTarget } from './dns-sd.js';
import { FILE_TARGETS } from './files.js';
import { HTTP_TARGETS } from './http.js';
import { ippTarget } from './ipp.js';
import { lpdTarget, pjlTarget } from './lines.js';
import { NETWORK_TARGETS } from './network.js';
import { pastsTarget } from './pasts.js';
import { sitesTarget } from './sites.js';
import { snapshotTarget } from './snapshots.js';
import { snmpTarget } from './snmp.js';
import { systemTarget } from './system.js';
import type { FuzzTarget } from './target.js';
import { wordsTarget } from './words.js';

/** Everything that comes from a network, a file or another program and is decoded here. */
export const TARGETS: readonly FuzzTarget[] = [
  snmpTarget,
  ippTarget,
  ...BESIDE_TARGETS,
  dnsSdTarget,
  pjlTarget,
  lpdTarget,
  ...NETWORK_TARGETS,
  ...HTTP_TARGETS,
  ...FILE_TARGETS,
  snapshotTarget,
  pastsTarget,
  sitesTarget,
  commandTarget,
  argvTarget,
  systemTarget,
  wordsTarget,
];
