import { Buffer } from 'node:buffer';
import { EventEmitter } from 'node:events';
import { deflateRawSync, deflateSync, gzipSync } from 'node:zlib';
import { type Notification, readTraps, type TrapSocket } from '../../src/daemon/outside/traps.js';
import { unpackBody } from '../../src/net/http-body.js';
import { readProbeMatches } from '../../src/wire/ws-discovery/matches.js';
import { DIALECTS } from '../../src/wire/ws-discovery/probe.js';
import { integer, octets, oid, sequence, tlv } from '../net/ber.js';
import { ENGINE, scoped, v3Message } from '../net/snmp-v3-message.js';
import { EVENT_TOKENS } from './seeds.js';
import { spoil } from './spoil.js';
import { ADDRESS, type Case, type FuzzTarget } from './target.js';

/** WS-Discovery 1.1 section 5.3 and its example, by hand. */
const MATCHES = DIALECTS.map(({ discovery, addressing, profile }) =>
  Buffer.from(
    `<?xml version="1.0"?><s:Envelope xmlns:s="http://www.w3.org/2003/05/soap-envelope" xmlns:a="${addressing}" xmlns:d="${discovery}" xmlns:w="${profile}" xmlns:p="urn:p">` +
      `<s:Header><a:Action>${discovery}/ProbeMatches</a:Action><a:RelatesTo>urn:uuid:1</a:RelatesTo></s:Header><s:Body><d:ProbeMatches><d:ProbeMatch>` +
      '<a:EndpointReference><a:Address>urn:uuid:98190dc2-0890-4ef8-ac9a-5940995e6119</a:Address></a:EndpointReference>' +
      '<d:Types>w:Device p:PrintDeviceType</d:Types></d:ProbeMatch></d:ProbeMatches></s:Body></s:Envelope>',
  ),
);

function matches({ draw, served }: Case): void {
  const bytes = spoil({ seeds: MATCHES, tokens: EVENT_TOKENS }, draw);
  served.push(bytes);
  const read = readProbeMatches(bytes.toString('utf8'));
  if (read === null) return;
  const long = read.matches.some(({ endpoint, types }) => endpoint.length > 4096 || types.join(' ').length > 4096);
  if (read.matches.length > 64 || read.relatesTo.length > 4096 || long)
    throw new Error('more than is kept of an answer');
}

const PAGE = Buffer.from('<html><body>Ready to print</body></html>'.repeat(40));
const MOST_BODY = 64 * 1024;
/** A mebibyte of nothing comes to a thousand octets. */
const BOMB = Buffer.alloc(1024 * 1024);
const PACKED = [PAGE, BOMB].flatMap((body) => [gzipSync(body), deflateSync(body), deflateRawSync(body)]);
const CODINGS = ['gzip', 'deflate', 'x-gzip', 'GZIP, deflate', 'gzip,gzip,gzip,gzip', 'br', '', ',,,'];

async function packedBody({ draw, served }: Case): Promise<void> {
  const body = spoil({ seeds: PACKED, most: MOST_BODY }, draw);
  served.push(body);
  const unpacked = await unpackBody(body, CODINGS[draw(CODINGS.length)] ?? '', MOST_BODY);
  if (unpacked.body.length > Math.max(MOST_BODY, body.length)) throw new Error(`${unpacked.body.length} octets`);
}

const bindings = [
  sequence(oid('1.3.6.1.2.1.1.3.0'), integer(4200, 0x43)),
  sequence(oid('1.3.6.1.6.3.1.1.4.1.0'), oid('1.3.6.1.2.1.43.18.2.0.1')),
  sequence(oid('1.3.6.1.2.1.43.18.1.1.1.1.1'), integer(7)),
];
const pdu = (tag: number): Buffer =>
  tlv(tag, Buffer.concat([integer(9), integer(0), integer(0), sequence(...bindings)]));
const v1 = Buffer.concat([
  oid('1.3.6.1.4.1.8072'),
  tlv(0x40, Buffer.from([192, 0, 2, 21])),
  integer(6),
  integer(1),
  integer(4200, 0x43),
  sequence(...bindings),
]);
/** RFC 1157 4.1.6 (v1), RFC 3416 4.2.6 and 4.2.7 (trap and inform), RFC 3412 (v3). */
const TRAPS = [
  sequence(integer(0), octets('public'), tlv(0xa4, v1)),
  sequence(integer(1), octets('public'), pdu(0xa7)),
  sequence(integer(1), octets('any other'), pdu(0xa6)),
  v3Message({ msgId: 3, flags: 0, engineId: ENGINE, user: 'reader', body: scoped(0xa7, 9, bindings) }),
  v3Message({ msgId: 4, flags: 4, engineId: Buffer.alloc(0), user: '', body: scoped(0xa6, 9, bindings) }),
  v3Message({
    msgId: 5,
    flags: 3,
    engineId: ENGINE,
    user: 'keyed',
    mac: Buffer.alloc(24),
    salt: Buffer.alloc(8),
    body: octets(Buffer.alloc(40)),
  }),
];

class Ear extends EventEmitter {
  sent = 0;
  send(): void {
    this.sent += 1;
  }
  close(): void {
    this.removeAllListeners();
  }
}

const ear = new Ear();
const heard: Notification[] = [];
const refused = readTraps(
  ear as unknown as TrapSocket,
  162,
  {
    credentials: [
      { version: '3', user: 'reader', level: 'noAuthNoPriv', label: 'reader' },
      {
        version: '3',
        user: 'keyed',
        level: 'authPriv',
        authProtocol: 'SHA-256',
        authKey: 'authentication',
        privProtocol: 'AES-128',
        privKey: 'privacy-of-it',
        label: 'keyed',
      },
    ],
    heard: (notification) => heard.push(notification),
  },
  Number.POSITIVE_INFINITY,
);

function trap({ draw, served }: Case): void {
  const bytes = spoil({ seeds: TRAPS, most: 20_000 }, draw);
  served.push(bytes);
  const before = refused();
  ear.emit('message', bytes, { address: ADDRESS, port: 50_162, family: 'IPv4', size: bytes.length });
  const told = heard.splice(0);
  const sound = told.every(
    ({ address, what }) => /^[\d.]{7,15}$/.test(address) && (what === null || /^\d+(\.\d+)+$/.test(what)),
  );
  if (told.length > 1 || !sound) throw new Error(`heard ${JSON.stringify(told).slice(0, 300)}`);
  if (told.length + refused() - before > 2) throw new Error('one datagram counted more than once');
}

export const NETWORK_TARGETS: readonly FuzzTarget[] = [
  { name: 'ws-disco', share: 0.15, run: matches },
  { name: 'packed', share: 0.05, run: packedBody },
  { name: 'traps', share: 0.2, run: trap },
];
