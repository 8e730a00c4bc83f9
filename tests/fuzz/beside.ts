/** What stands beside a printer and is asked about it: its print queues, and the switch that it hangs on. */
import { item } from '../../src/demo/ipp-writer.js';
import type { Net } from '../../src/net/net.js';
import { openSnmpOver } from '../../src/net/snmp-guard.js';
import { spoolerProbe } from '../../src/probes/spooler/spooler.js';
import { switchProbe } from '../../src/probes/switch/switch.js';
import { integer, octets } from '../net/ber.js';
import { Tree } from '../net/snmp-agent.js';
import { answering } from './ipp.js';
import { channel } from './snmp.js';
import { ADDRESS, type Case, type FuzzTarget, mustBeSound } from './target.js';

const PORT = 7;
/** RFC 4188 dot1dBasePortIfIndex and dot1dTpFdbPort, RFC 4363 dot1qTpFdbPort, RFC 2863 ifTable. */
const BRIDGE = new Tree({
  '1.3.6.1.2.1.1.1.0': octets('A switch'),
  [`1.3.6.1.2.1.17.1.4.1.2.${PORT}`]: integer(10),
  ...Object.fromEntries([1, 2, 3].map((n) => [`1.3.6.1.2.1.17.4.3.1.2.2.0.94.0.0.${n}`, integer(PORT)])),
  ...Object.fromEntries([4, 5].map((n) => [`1.3.6.1.2.1.17.7.1.2.2.1.2.1.2.0.94.0.0.${n}`, integer(PORT)])),
  ...Object.fromEntries([7, 8, 9, 14, 20].map((n) => [`1.3.6.1.2.1.2.2.1.${n}.10`, integer(n, n > 8 ? 0x41 : 2)])),
});
const CREDENTIALS = [{ version: '2c', community: 'public', label: 'community 1' }] as const;
const clock = { now: () => new Date(), monotonic: () => performance.now() };

async function bridge(one: Case): Promise<void> {
  const snmp: Net['snmp'] = (options) =>
    openSnmpOver({ ...options, timeoutMs: 8 }, () => channel(options.credential.version, one, 3, BRIDGE));
  const target = { label: 'desk', host: ADDRESS, snmpPort: 161, printPorts: [], queues: [] };
  // The deadline ends the wait between the two readings of the counters.
  const limits = { timeoutMs: 8, retries: 0, deadlineMs: 40, credentials: CREDENTIALS };
  const place = { ...target, switch: { address: '192.0.2.2', port: PORT } };
  mustBeSound(await switchProbe.run(place, { ...clock, snmp } as Partial<Net> as Net, limits));
}

/** What a queue says of itself beside what a printer says (device-uri and error policies: common practice, no published source). */
const QUEUE = [
  item('printer-state', 'enum', 5),
  item('printer-state-reasons', 'keyword', 'paused', 'com.example.odd-error'),
  item('printer-is-accepting-jobs', 'boolean', false),
  item('device-uri', 'uri', 'socket://desk.example:9100/'),
  item('printer-error-policy', 'name', 'stop-printer'),
];

async function queue(one: Case): Promise<void> {
  const uri = `ipp://192.0.2.5/printers/desk`;
  const resolve: Net['resolve'] = async (name) => {
    if (name.length > 255) throw new Error(`a name of ${name.length} characters was looked up`);
    return { outcome: 'failed', addresses: [], code: 'ENOTFOUND', tookMs: 1 };
  };
  const net = { ...clock, resolve, http: answering(one, QUEUE) } as Partial<Net> as Net;
  const target = { label: 'desk', host: ADDRESS, snmpPort: 161, printPorts: [], queues: [uri] };
  const limits = { timeoutMs: 1000, retries: 0, deadlineMs: 3000, credentials: [], user: 'ana' };
  const records = await spoolerProbe.run(target, net, limits);
  if (records.length > 20 || one.served.length > 200) throw new Error('it asked without end');
  mustBeSound(records);
}

export const BESIDE_TARGETS: readonly FuzzTarget[] = [
  { name: 'switch', share: 0.02, run: bridge },
  { name: 'spooler', share: 0.05, run: queue },
];
