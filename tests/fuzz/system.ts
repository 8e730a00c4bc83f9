import { Buffer } from 'node:buffer';
import { parseArpListing, parseWindowsArp } from '../../src/net/neighbours/arp.js';
import { parseIpNeighbours, parseProcArp } from '../../src/net/neighbours/linux.js';
import { readPing } from '../../src/net/ping.js';
import { parseRouteGet } from '../../src/net/routes/bsd.js';
import { parseIpRoute, routeFromProc } from '../../src/net/routes/linux.js';
import { routeFromPrint } from '../../src/net/routes/windows.js';
import { type Spoiling, spoil } from './spoil.js';
import { ADDRESS, type Case, type FuzzTarget } from './target.js';

/** One program's listing: how it is read, and listings as the tests of each reader have them. */
interface Listing {
  readonly read: (text: string) => unknown;
  readonly spoiling: Spoiling;
}

const listing = (
  read: Listing['read'],
  texts: readonly string[],
  tokens: readonly string[],
  json = false,
): Listing => ({
  read,
  spoiling: { seeds: texts.map((text) => Buffer.from(text)), tokens, json },
});
const DOTTED = ['192.0.2.9', '0.0.0.0', '255.255.255.255', '999.1.1.1', ' ', '\n', '\t'];

const LISTINGS: readonly Listing[] = [
  listing(
    parseArpListing,
    [
      '? (192.0.2.1) at 2:fc:0:0:0:5 on en0 ifscope [ethernet]\n? (192.0.2.9) at (incomplete) on en0 ifscope [ethernet]\n',
      '? (192.0.2.1) at 02:fc:00:00:00:05 [ether] PERM on eth0\n? (192.0.2.9) at <incomplete> on eth0\n',
    ],
    [...DOTTED, ' at ', ' on ', '(incomplete)', ' PERM '],
  ),
  listing(
    parseWindowsArp,
    [
      '\r\nInterface: 192.0.2.10 --- 0x5\r\n  Internet Address      Physical Address      Type\r\n  192.0.2.1             02-fc-00-00-00-05     dynamic\r\n',
    ],
    [...DOTTED, '---', '0x', '02-fc-00-00-00-05'],
  ),
  listing(
    parseIpNeighbours,
    [
      '[{"dst":"192.0.2.1","dev":"eth0","lladdr":"02:fc:00:00:00:05","used":3,"confirmed":2,"updated":1,"probes":1,"state":["REACHABLE"]}]',
    ],
    ['"state":["__proto__"]', 'null', '[', '{'],
    true,
  ),
  listing(
    parseProcArp,
    [
      'IP address       HW type     Flags       HW address            Mask     Device\n192.0.2.1        0x1         0x2         02:fc:00:00:00:05     *        eth0\n',
    ],
    [...DOTTED, '0x', '0x6'],
  ),
  listing(
    parseIpRoute,
    ['[{"dst":"192.0.2.21","gateway":"192.0.2.1","dev":"eth0","prefsrc":"192.0.2.10","flags":[],"uid":0,"cache":[]}]'],
    ['"type":"unreachable"', '"via":{"host":1}', 'null'],
    true,
  ),
  listing(
    (text) => routeFromProc(text, ADDRESS),
    [
      'Iface\tDestination\tGateway \tFlags\tRefCnt\tUse\tMetric\tMask\t\tMTU\tWindow\tIRTT\neth0\t00000000\t010200C0\t0003\t0\t0\t100\t00000000\t0\t0\t0\neth0\t000200C0\t00000000\t0001\t0\t0\t100\t00FFFFFF\t0\t0\t0\n',
    ],
    ['\t', '00FFFFFF', 'FFFFFFFF', '0203'],
  ),
  listing(
    (text) => routeFromPrint(text, ADDRESS),
    [
      'IPv4 Route Table\r\n===========\r\nActive Routes:\r\n          0.0.0.0          0.0.0.0      192.0.2.1     192.0.2.10     25\r\n        192.0.2.0    255.255.255.0         On-link     192.0.2.10    281\r\n',
    ],
    [...DOTTED, 'On-link', '255.0.255.0'],
  ),
  listing(
    (text) => routeFromPrint(text, '2001:db8::21%9'),
    [
      ' If Metric Network Destination      Gateway\r\n  9    266 ::/0                     fe80::1\r\n  9    281 2001:db8:1:0:1234:5678:9abc:def0/128\r\n                                    On-link\r\n',
    ],
    ['::/0', '/129', 'On-link', 'fe80::1', '%9', '::ffff:1.2.3.4/96'],
  ),
  listing(
    parseRouteGet,
    [
      '   route to: 192.0.2.21\ndestination: 192.0.2.0\n       mask: 255.255.255.0\n  interface: en0\n      flags: <UP,DONE,CLONING,STATIC>\n',
      'route: writing to routing socket: not in table\n',
    ],
    ['gateway: ', 'flags: <UP,GATEWAY>', 'interface:', '<', '>'],
  ),
  listing(
    (text) => readPing({ exit: 0, stdout: text, stderr: '' }),
    [
      'PING 192.0.2.21 (192.0.2.21) 56(84) bytes of data.\n64 bytes from 192.0.2.21: icmp_seq=1 ttl=64 time=0.052 ms\n\n1 packets transmitted, 1 received, 0% packet loss\n',
      'Reply from 192.0.2.21: bytes=32 time<1ms TTL=128\r\n',
    ],
    ['time=', 'ms', 'ttl=', '100% packet loss', 'unreachable', ','],
  ),
];

function read({ draw, served }: Case): void {
  const { read: reader, spoiling } = LISTINGS[draw(LISTINGS.length)] as Listing;
  const octets = spoil(spoiling, draw);
  served.push(octets);
  const size = (JSON.stringify(reader(octets.toString('utf8'))) ?? '').length;
  if (size > 12 * octets.length + 1000) throw new Error(`${size} characters out of ${octets.length} octets`);
}

export const systemTarget: FuzzTarget = { name: 'system', share: 1, run: read };
