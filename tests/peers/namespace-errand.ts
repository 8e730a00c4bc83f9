/**
 * What the namespace tests have done inside a namespace, as a process of its own: `errand.ts WHAT ARGUMENT…` prints one
 * JSON document. `device FILE ADDRESS` serves a made-up device until it is ended.
 */
import type { Target } from '../../src/model/target.js';
import { createSystemNet } from '../../src/net/system-net.js';
import { dnsSdProbe } from '../../src/probes/dns-sd/dns-sd.js';
import { icmpProbe } from '../../src/probes/icmp/icmp.js';
import { neighbourProbe } from '../../src/probes/neighbour/neighbour.js';
import { tcpProbe } from '../../src/probes/tcp/tcp.js';

const net = createSystemNet();
const PORTS = { snmp: 161, ipp: 631, raw: 9100, lpd: 515 };
const LIMITS = { timeoutMs: 4000, retries: 0, deadlineMs: 4500, credentials: [] };

function target(host: string): Target {
  return { label: host, host, snmpPort: 161, printPorts: [631, 9100], queues: [] };
}

async function device(name: string, address: string): Promise<void> {
  const { loadOffice } = await import('../../src/demo/load.js');
  const { startDevice } = await import('../../src/demo/running.js');
  const scenario = loadOffice().find((one) => one.name === name);
  if (scenario === undefined) throw new Error(`no device is called ${name}`);
  await startDevice(scenario, { address, ports: PORTS });
  process.stdout.write('ready\n');
  await new Promise(() => undefined);
}

async function sweepAll(ranges: readonly string[]): Promise<unknown> {
  const { USUAL_PORTS } = await import('../../src/sweep/options.js');
  const { ownRanges } = await import('../../src/sweep/own-ranges.js');
  const { PACES } = await import('../../src/sweep/pace.js');
  const { parseRanges } = await import('../../src/sweep/ranges.js');
  const { sweep } = await import('../../src/sweep/sweep.js');
  const own = ranges.length > 0 ? { names: ranges, remarks: [] } : ownRanges(await net.subnets());
  const plan = parseRanges(own.names, { yesLarge: false, allowPublic: false });
  const credentials = [{ version: '2c', community: 'public', label: 'community "public"' }] as const;
  const asked = { plan, remarks: own.remarks, known: [], ports: USUAL_PORTS, credentials, retries: 1, listenMs: 1500 };
  return sweep({ ...asked, pace: PACES.steady }, net);
}

const ERRANDS: Readonly<Record<string, (...args: string[]) => Promise<unknown>>> = {
  device,
  neighbour: (address = '') => net.neighbour(address, 12_000),
  tcp: (address = '', port = '') => net.tcpConnect(address, Number(port), 4000),
  route: (address = '') => net.route(address),
  ping: (address = '') => net.ping(address, 2000),
  browse: (...types) => net.browse(types, 3000),
  resolve: (name = '') => net.resolve(name, 3000),
  sweep: (...ranges) => sweepAll(ranges),
  neighbourProbe: (host = '') => neighbourProbe.run(target(host), net, LIMITS),
  tcpProbe: (host = '') => tcpProbe.run(target(host), net, LIMITS),
  icmpProbe: (host = '') => icmpProbe.run(target(host), net, LIMITS),
  dnsSdProbe: (host = '') => dnsSdProbe.run(target(host), net, LIMITS),
};

const [what = '', ...args] = process.argv.slice(2);
process.stdout.write(JSON.stringify(await ERRANDS[what]?.(...args)), () => process.exit(0));
