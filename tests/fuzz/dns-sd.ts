import { Buffer } from 'node:buffer';
import { EventEmitter } from 'node:events';
import bonjour from 'bonjour-service';
import { decode, encode } from 'dns-packet';
import { encodeQuery } from '../../src/net/dns-sd/question.js';
import { type HeardRecord, HeardRecords } from '../../src/net/dns-sd/records.js';
import type { Net } from '../../src/net/net.js';
import { dnsSdProbe } from '../../src/probes/dns-sd/dns-sd.js';
import { mutate } from './mutate.js';
import { ADDRESS, type Case, type FuzzTarget, mustBeSound } from './target.js';

const TYPES = ['_ipp._tcp', '_ipps._tcp', '_printer._tcp'];
const FULL = 'Front Desk 2.1 (Harbour)._ipp._tcp.local';
const SEEDS: readonly Buffer[] = [
  encode({
    type: 'response',
    answers: [
      { name: '_ipp._tcp.local', type: 'PTR', ttl: 4500, data: FULL },
      { name: FULL, type: 'SRV', ttl: 120, data: { target: 'desk.local', port: 631 } },
      { name: FULL, type: 'TXT', ttl: 4500, data: ['rp=ipp/print', 'ty=Sandpiper 300', 'pdl=application/pdf'] },
      { name: 'desk.local', type: 'A', ttl: 120, data: ADDRESS },
      { name: 'desk.local', type: 'AAAA', ttl: 120, data: 'fe80::21' },
    ],
  }),
  encode({
    type: 'response',
    answers: [{ name: '_printer._tcp.local', type: 'PTR', ttl: 4500, data: 'Desk._printer._tcp.local' }],
    additionals: [
      { name: 'Desk._printer._tcp.local', type: 'SRV', ttl: 120, data: { target: 'desk.local', port: 515 } },
      { name: 'Desk._printer._tcp.local', type: 'TXT', ttl: 4500, data: [''] },
      { name: 'desk.local', type: 'NSEC', ttl: 120, data: { nextDomain: 'desk.local', rrtypes: ['A', 'AAAA'] } },
    ],
  }),
].map((octets) => Buffer.from(octets));
const WHOLE = 20;

/** Browser and records hear the same packets, as an ear hands them on; what the packet library can't read it reports itself. */
function hear({ draw, served }: Case): HeardRecords {
  const mdns = Object.assign(new EventEmitter(), { query: () => undefined });
  const browsers = ['ipp', 'printer'].map((type) => new bonjour.Browser(mdns, { type, protocol: 'tcp' }));
  const records = new HeardRecords();
  for (let left = 1 + draw(3); left > 0; left--) {
    const octets = mutate(SEEDS[draw(SEEDS.length)] ?? Buffer.alloc(0), draw, SEEDS);
    served.push(octets);
    const packet = decoded(octets);
    if (packet === undefined) continue;
    mdns.emit('response', packet, { address: ADDRESS });
    const all = [...(packet.answers ?? []), ...(packet.additionals ?? [])];
    records.hear(all as readonly HeardRecord[], 0);
  }
  for (const browser of browsers) {
    const found = browser.services.map(({ fqdn }) => ({ type: '_ipp._tcp', full: fqdn }));
    encodeQuery(records.missing(TYPES, 0, found));
    JSON.stringify(records.instances(TYPES, 0, found));
    browser.expire();
    browser.stop();
  }
  return records;
}

function decoded(octets: Buffer): ReturnType<typeof decode> | undefined {
  try {
    return decode(octets);
  } catch {
    return undefined;
  }
}

async function wholeProbe(one: Case): Promise<void> {
  const net = {
    now: () => new Date(),
    monotonic: () => performance.now(),
    route: async () => ({ kind: 'route', reach: 'onlink', interface: 'e0', gateway: null, carrier: true }),
    browse: async () => hear(one).instances(TYPES, 0),
  } as Partial<Net> as Net;
  const target = { label: 'desk', host: ADDRESS, snmpPort: 161, printPorts: [], queues: [] };
  const limits = { timeoutMs: 1000, retries: 0, deadlineMs: 3000, credentials: [] };
  mustBeSound(await dnsSdProbe.run(target, net, limits));
}

export const dnsSdTarget: FuzzTarget = {
  name: 'dns-sd',
  share: 0.1,
  run: (one) => (one.draw(WHOLE) === 0 ? wholeProbe(one) : void hear(one)),
};
