import { describe, expect, test } from 'vitest';
import { parseRouteGet } from '../../src/net/routes/bsd.js';
import { parseIpRoute, routeFromProc } from '../../src/net/routes/linux.js';
import { findRoute } from '../../src/net/routes/route.js';
import { routeFromPrint } from '../../src/net/routes/windows.js';

// The Linux texts follow what the program prints here; those of macOS and Windows are written by hand after the systems'
// manuals, from memory: no such system has been read for these tests. Addresses are documentation addresses.

const ONLINK = '[{"dst":"192.0.2.77","dev":"br0","prefsrc":"192.0.2.1","flags":[],"uid":0,"cache":[]}]';
const ROUTED =
  '[{"dst":"198.51.100.3","gateway":"192.0.2.254","dev":"br0","prefsrc":"192.0.2.1","flags":[],"uid":0,"cache":[]}]';
const LOCAL =
  '[{"type":"local","dst":"127.0.0.5","dev":"lo","prefsrc":"127.0.0.1","flags":[],"uid":0,"cache":["local"]}]';
const VIA_6 = '[{"dst":"192.0.2.9","via":{"family":"inet6","host":"fe80::1"},"dev":"eth0","flags":[]}]';

const PROC_ROUTE = `Iface	Destination	Gateway 	Flags	RefCnt	Use	Metric	Mask		MTU	Window	IRTT
eth0	00000000	010200C0	0003	0	0	100	00000000	0	0	0
eth1	00000000	017100CB	0003	0	0	50	00000000	0	0	0
eth0	000200C0	00000000	0001	0	0	0	00FFFFFF	0	0	0
*	006433C6	00000000	0201	0	0	0	00FFFFFF	0	0	0
`;

const MACOS_ROUTED = `   route to: 198.51.100.3
destination: default
       mask: default
    gateway: 192.0.2.1
  interface: en0
      flags: <UP,GATEWAY,DONE,STATIC,PRCLONING,GLOBAL>
 recvpipe  sendpipe  ssthresh  rtt,msec    rttvar  hopcount      mtu     expire
       0         0         0         0         0         0      1500         0
`;
const MACOS_ONLINK = `   route to: 192.0.2.7
destination: 192.0.2.7
  interface: en0
      flags: <UP,HOST,DONE,LLINFO,WASCLONED,IFSCOPE,IFREF>
`;
const MACOS_REJECT = `   route to: 203.0.113.9
destination: 203.0.113.0
  interface: en0
      flags: <UP,REJECT,DONE,STATIC>
`;

const WINDOWS = `===========================================================================\r
Schnittstellenliste\r
 11...02 fc 00 00 00 02 ......Ethernet\r
===========================================================================\r
IPv4-Routentabelle\r
===========================================================================\r
Aktive Routen:\r
     Netzwerkziel    Netzwerkmaske          Gateway    Schnittstelle Metrik\r
          0.0.0.0          0.0.0.0        192.0.2.1        192.0.2.2     25\r
          0.0.0.0          0.0.0.0      203.0.113.1      203.0.113.7     50\r
        127.0.0.0        255.0.0.0   Auf Verbindung         127.0.0.1    331\r
        192.0.2.0    255.255.255.0   Auf Verbindung         192.0.2.2    281\r
        192.0.2.2  255.255.255.255   Auf Verbindung         192.0.2.2    281\r
===========================================================================\r
Ständige Routen:\r
  Keine\r
`;
const WINDOWS_EN = WINDOWS.replaceAll('Auf Verbindung', '      On-link');

describe('routes', () => {
  test.each([
    ['on the link', ONLINK, { reach: 'onlink', interface: 'br0', gateway: null }],
    ['through a gateway', ROUTED, { reach: 'routed', interface: 'br0', gateway: '192.0.2.254' }],
    ['this machine', LOCAL, { reach: 'loopback', interface: 'lo', gateway: null }],
    ['through a gateway of the other family', VIA_6, { reach: 'routed', interface: 'eth0', gateway: 'fe80::1' }],
    ['unreachable', '[{"type":"unreachable","dst":"203.0.113.3"}]', { reach: 'none', interface: null, gateway: null }],
  ])('ip -j route get: %s', (_name, text, route) => {
    expect(parseIpRoute(text)).toEqual({ kind: 'route', ...route });
  });

  test('what is no route is not taken for one', () => {
    for (const text of ['', '[]', '{}', '[null]', 'null', '[3]', '[{"dst"']) expect(parseIpRoute(text)).toBeUndefined();
  });

  test.each([
    ['192.0.2.9', { reach: 'onlink', interface: 'eth0', gateway: null }],
    // Two default routes: the lower metric wins.
    ['10.9.9.9', { reach: 'routed', interface: 'eth1', gateway: '203.0.113.1' }],
    ['198.51.100.9', { reach: 'none', interface: null, gateway: null }],
    ['no address', { reach: 'none', interface: null, gateway: null }],
  ])('/proc/net/route: %s', (address, route) => {
    expect(routeFromProc(PROC_ROUTE, address)).toEqual({ kind: 'route', ...route });
  });

  test.each([
    ['through a gateway', MACOS_ROUTED, { reach: 'routed', interface: 'en0', gateway: '192.0.2.1' }],
    ['on the link', MACOS_ONLINK, { reach: 'onlink', interface: 'en0', gateway: null }],
    ['rejected', MACOS_REJECT, { reach: 'none', interface: null, gateway: null }],
    ['unknown', 'route: writing to routing socket: not in table\n', { reach: 'none', interface: null, gateway: null }],
    ['nothing', '', { reach: 'none', interface: null, gateway: null }],
  ])('route -n get of macOS: %s', (_name, text, route) => {
    expect(parseRouteGet(text)).toEqual({ kind: 'route', ...route });
  });

  test.each([
    ['192.0.2.9', { reach: 'onlink', interface: '192.0.2.2', gateway: null }],
    ['192.0.2.2', { reach: 'loopback', interface: '192.0.2.2', gateway: null }],
    ['198.51.100.3', { reach: 'routed', interface: '192.0.2.2', gateway: '192.0.2.1' }],
    ['127.0.0.1', { reach: 'loopback', interface: '127.0.0.1', gateway: null }],
  ])('route print of Windows: %s', (address, route) => {
    expect(routeFromPrint(WINDOWS, address)).toEqual({ kind: 'route', ...route });
    expect(routeFromPrint(WINDOWS_EN, address)).toEqual({ kind: 'route', ...route });
  });

  test('loopback needs no table; a name has no route', async () => {
    expect(await findRoute('127.34.0.1')).toMatchObject({ reach: 'loopback' });
    expect(await findRoute('::1')).toMatchObject({ reach: 'loopback' });
    expect(await findRoute('front-desk.example')).toMatchObject({ reach: 'none' });
  });
});
