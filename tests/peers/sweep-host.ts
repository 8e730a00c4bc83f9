/**
 * One host of the sweep's lab, as a process inside its namespace: `sweep-host.ts PARTS` with PARTS a JSON list of `Part`. Says
 * `ready` once everything listens. For each line on its input it prints what has reached it since the start.
 */
import { createSocket } from 'node:dgram';
import { createServer } from 'node:net';
import { networkInterfaces } from 'node:os';
import { createInterface } from 'node:readline';
import type { ScenarioInput } from '../../src/demo/device.js';
import { startRawListener } from '../../src/demo/raw-listener.js';
import { startDevice } from '../../src/demo/running.js';
import { DIALECTS } from '../../src/wire/ws-discovery/probe.js';

export type Part =
  /** A made-up device on the usual ports. */
  | { readonly kind: 'device'; readonly address: string; readonly scenario: ScenarioInput }
  /** Ports that take connections and say nothing. */
  | { readonly kind: 'ports'; readonly address: string; readonly ports: readonly number[] }
  /** A print port that answers every call with an IPP reply, one octet every fifth of a second and without an end. */
  | { readonly kind: 'drip'; readonly address: string; readonly port: number; readonly from: 'head' | 'body' }
  /** A print device that answers WS-Discovery, as `urn:uuid:UUID`. */
  | { readonly kind: 'ws-discovery'; readonly uuid: string; readonly types: string };

/** What reached a host that should only ever be read. */
export interface Reached {
  readonly printOctets: number;
  readonly writes: number;
  readonly jobs: number;
  readonly snmpRequests: number;
}

const PORTS = { snmp: 161, ipp: 631, raw: 9100, lpd: 515 };
const reports: (() => Reached)[] = [];
const NOTHING: Reached = { printOctets: 0, writes: 0, jobs: 0, snmpRequests: 0 };

async function start(part: Part): Promise<void> {
  if (part.kind === 'device') {
    // As a real device does, it tells the hardware address that the link shows.
    const scenario = { mac: networkInterfaces().eth0?.[0]?.mac, ...part.scenario };
    const device = await startDevice(scenario, { address: part.address, ports: PORTS });
    reports.push(() => {
      const { rawOctets, lpdOctets, snmpWrites, ippJobs, snmpRequests } = device.received();
      return { printOctets: rawOctets + lpdOctets, writes: snmpWrites, jobs: ippJobs, snmpRequests };
    });
  } else if (part.kind === 'ports') {
    for (const port of part.ports) {
      const listener = await startRawListener({ address: part.address, port });
      reports.push(() => ({ ...NOTHING, printOctets: port === 9100 || port === 515 ? listener.octets() : 0 }));
    }
  } else if (part.kind === 'drip') await drip(part.address, part.port, part.from);
  else await answerProbes(part.uuid, part.types);
}

/** The head of an HTTP reply (RFC 9112) and the first octets of an IPP one (RFC 8010 section 3.1.1): what stands there is well-formed. */
async function drip(address: string, port: number, from: 'head' | 'body'): Promise<void> {
  const head = 'HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\n';
  const atOnce = from === 'head' ? head : `${head}\r\n\x02\0\0\0\0\0\0\x01\x01\x47\0\x12attributes-charset\x7f\xff`;
  const server = createServer((socket) => {
    socket.on('error', () => undefined).write(atOnce, 'latin1');
    const timer = setInterval(() => socket.write('a'), 200);
    socket.on('close', () => clearInterval(timer)).resume();
  });
  await new Promise<void>((resolve) => server.listen(port, address, resolve));
}

/** Answers each probe in the words in which it came (WS-Discovery 1.1 section 5.3), over both address families. */
async function answerProbes(uuid: string, types: string): Promise<void> {
  for (const [type, group] of [
    ['udp4', '239.255.255.250'],
    ['udp6', 'ff02::c'],
  ] as const) {
    const socket = createSocket({ type, reuseAddr: true, ipv6Only: type === 'udp6' });
    socket.on('message', (octets, from) => {
      const probe = octets.toString();
      const dialect = DIALECTS.find(({ discovery }) => probe.includes(`${discovery}/Probe`));
      const id = /MessageID>([^<]+)</.exec(probe)?.[1];
      if (dialect === undefined || id === undefined || !probe.includes('PrintDeviceType')) return;
      const answer = `<?xml version="1.0"?><e:Envelope xmlns:e="http://www.w3.org/2003/05/soap-envelope" xmlns:w="${dialect.addressing}" xmlns:x="${dialect.discovery}" xmlns:y="${dialect.profile}"><e:Header><w:RelatesTo>${id}</w:RelatesTo><w:Action>${dialect.discovery}/ProbeMatches</w:Action></e:Header><e:Body><x:ProbeMatches><x:ProbeMatch><w:EndpointReference><w:Address>urn:uuid:${uuid}</w:Address></w:EndpointReference><x:Types>${types}</x:Types></x:ProbeMatch></x:ProbeMatches></e:Body></e:Envelope>`;
      // Up to half a second, as the standard's APP_MAX_DELAY has it.
      setTimeout(() => socket.send(answer, from.port, from.address, () => undefined), 300);
    });
    await new Promise<void>((resolve) => socket.bind(3702, type === 'udp6' ? '::' : '0.0.0.0', resolve));
    const device = Object.keys(networkInterfaces()).find((name) => name !== 'lo') ?? 'eth0';
    const own = networkInterfaces()[device]?.find((entry) => entry.family === 'IPv4')?.address;
    if (type === 'udp6') socket.addMembership(group, `::%${device}`);
    else if (own !== undefined) socket.addMembership(group, own);
  }
}

const parts = JSON.parse(process.argv[2] ?? '[]') as readonly Part[];
await Promise.all(parts.map(start));
process.stdout.write('ready\n');
for await (const _line of createInterface({ input: process.stdin })) {
  const all = reports.map((report) => report());
  const sum = (key: keyof Reached): number => all.reduce((total, one) => total + one[key], 0);
  const reached: Reached = {
    printOctets: sum('printOctets'),
    writes: sum('writes'),
    jobs: sum('jobs'),
    snmpRequests: sum('snmpRequests'),
  };
  process.stdout.write(`${JSON.stringify(reached)}\n`);
}
process.exit(0);
