import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import bonjour from 'bonjour-service';
import multicastDns from 'multicast-dns';
import type { OwnLink } from '../subnets.js';
import { encodeQuery } from './question.js';
import type { HeardRecord, Pointer, Question } from './records.js';

/** RFC 6762 section 3. */
const GROUPS = { udp4: '224.0.0.251', udp6: 'ff02::fb' } as const;
const PORT = 5353;
const MOST_WAITING = 20;

/** What multicast DNS says on one interface, over one address family. */
export interface Ear {
  ask(questions: readonly Question[]): void;
  /** Asks the browse questions again (RFC 6762 5.2: not sooner than a second after the last time). */
  browseAgain(): void;
  /** The instances that the browsers hold as valid now. */
  found(): readonly Pointer[];
  close(): void;
}

export interface EarOptions {
  readonly link: OwnLink;
  /** Own IPv4 address to speak from; null: link-local IPv6. */
  readonly address: string | null;
  /** Types to browse for: `_ipp._tcp`, or with a subtype `_printer._sub._http._tcp` (RFC 6763 7.1). */
  readonly types: readonly string[];
  readonly onAnswers: (answers: readonly HeardRecord[]) => void;
}

/**
 * Opens one: a socket bound to every address of the port that sends by this interface only. Finding and following the
 * instances is the browser's work (package `bonjour-service`, one browser for each type). Where it falls short the
 * caller completes it from the records themselves, which are handed on: the browser passes over an instance whose SRV record
 * comes in another packet than its PTR record, keeps a TXT record or an address that comes later for nobody, and cuts
 * an instance's name at its first dot (each shown on the package itself in tests/net/dns-sd-browser.test.ts).
 */
export function openEar({ link, address, types, onAnswers }: EarOptions): Ear {
  const family = address === null ? 'udp6' : 'udp4';
  const socket = createSocket({ type: family, reuseAddr: true, ...(address === null ? { ipv6Only: true } : {}) });
  const mdns = multicastDns({
    socket,
    type: family,
    ip: GROUPS[family],
    interface: address ?? `::%${link.zone}`,
    bind: address === null ? '::' : '0.0.0.0',
  });
  const waiting: Buffer[] = [];
  let state: 'opening' | 'open' | 'closed' = 'opening';
  mdns.setMaxListeners(0);
  mdns.on('ready', () => {
    if (state === 'opening') state = 'open';
    for (const query of waiting.splice(0)) send(socket, family, link, query);
  });
  mdns.on('response', (packet, from) => {
    const records = [...(packet.answers ?? []), ...(packet.additionals ?? [])] as readonly HeardRecord[];
    onAnswers(records.map((record) => withZone(record, from, link)));
  });
  // The library reports what it could not parse and what the network refused; neither is news to a listener.
  mdns.on('warning', () => undefined);
  mdns.on('error', () => undefined);
  const browsers = types.map((type) => ({ type, browser: new bonjour.Browser(mdns, browserOptions(type)) }));
  return {
    ask: (questions) => {
      const query = encodeQuery(questions);
      if (state === 'open') send(socket, family, link, query);
      else if (state === 'opening' && waiting.length < MOST_WAITING) waiting.push(query);
    },
    browseAgain: () => {
      if (state !== 'closed') for (const { browser } of browsers) browser.update();
    },
    found: () =>
      browsers.flatMap(({ type, browser }) => {
        browser.expire();
        return browser.services.map((service) => ({ type, full: service.fqdn }));
      }),
    close: () => {
      if (state === 'closed') return;
      state = 'closed';
      for (const { browser } of browsers) browser.stop();
      mdns.destroy();
    },
  };
}

/** `_ipp._tcp` → type `ipp` over TCP; a subtype goes in front of the type as a name does. */
function browserOptions(type: string): { type: string; protocol: 'tcp' | 'udp'; name?: string } {
  const match = /^(?:(_[^.]+\._sub)\.)?_([^.]+)\._(tcp|udp)$/.exec(type);
  const protocol = match?.[3] === 'udp' ? 'udp' : 'tcp';
  return { type: match?.[2] ?? type, protocol, ...(match?.[1] === undefined ? {} : { name: match[1] }) };
}

function send(socket: Socket, family: 'udp4' | 'udp6', link: OwnLink, query: Buffer): void {
  const group = family === 'udp4' ? GROUPS.udp4 : `${GROUPS.udp6}%${link.zone}`;
  socket.send(query, PORT, group, () => undefined);
}

/** A link-local IPv6 address means something on its own link only: it gets the zone of the link on which it was heard. */
function withZone(record: HeardRecord, from: RemoteInfo, link: OwnLink): HeardRecord {
  if (record.type !== 'AAAA' || typeof record.data !== 'string' || !isIPv6(record.data)) return record;
  if (!/^fe[89ab]/i.test(record.data) || record.data.includes('%')) return record;
  return { ...record, data: `${record.data}%${from.address.split('%', 2)[1] || link.zone}` };
}
