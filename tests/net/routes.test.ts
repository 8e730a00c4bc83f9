import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test, vi } from 'vitest';
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

// The form of `route print -6`: a long destination puts its gateway into the next line.
const WINDOWS_6 = `===========================================================================\r
IPv6-Routentabelle\r
===========================================================================\r
Aktive Routen:\r
 If Metrik Netzwerkziel             Gateway\r
  9    266 ::/0                     fe80::1\r
 14    300 ::/0                     fe80::2\r
  1    331 ::1/128                  Auf Verbindung\r
  9    281 2001:db8:1::/64          Auf Verbindung\r
  9    281 2001:db8:1:0:8888:9999:aaaa:bbbb/128\r
                                    Auf Verbindung\r
  9    281 2001:db8:2222:3333:4444:5555:6666:0/112\r
                                    2001:db8:1::fe\r
  9    281 fe80::/64                Auf Verbindung\r
 14    270 fe80::/64                Auf Verbindung\r
  1    331 ff00::/8                 Auf Verbindung\r
===========================================================================\r
Ständige Routen:\r
 If Metrik Netzwerkziel             Gateway\r
  0 4294967295 2001:db8:5::/48          2001:db8:1::5\r
`;
const WINDOWS_6_EN = WINDOWS_6.replaceAll('Auf Verbindung', 'On-link');

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
    ['unknown to FreeBSD', 'route: route has not been found\n', { reach: 'none', interface: null, gateway: null }],
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

  test.each([
    ['2001:db8:1::9', { reach: 'onlink', interface: '9', gateway: null }],
    ['2001:db8:9::9', { reach: 'routed', interface: '9', gateway: 'fe80::1' }],
    ['2001:db8:2222:3333:4444:5555:6666:77', { reach: 'routed', interface: '9', gateway: '2001:db8:1::fe' }],
    ['2001:db8:5::9', { reach: 'routed', interface: '9', gateway: 'fe80::1' }],
    ['fe80::9%9', { reach: 'onlink', interface: '9', gateway: null }],
    ['fe80::9%14', { reach: 'onlink', interface: '14', gateway: null }],
    ['fe80::9%15', { reach: 'none', interface: null, gateway: null }],
    ['::1', { reach: 'loopback', interface: '1', gateway: null }],
  ])('route print -6 of Windows: %s', (address, route) => {
    expect(routeFromPrint(WINDOWS_6, address)).toEqual({ kind: 'route', ...route });
    expect(routeFromPrint(WINDOWS_6_EN, address)).toEqual({ kind: 'route', ...route });
  });

  test('a table that can’t be read says nothing, which is not that there is no route', () => {
    expect(parseRouteGet('')).toBeUndefined();
    expect(parseRouteGet('route: must be root')).toBeUndefined();
    for (const text of ['', WINDOWS, WINDOWS_6.slice(0, 200)])
      expect(routeFromPrint(text, '2001:db8::9')).toBeUndefined();
    expect(routeFromPrint(WINDOWS_6, '192.0.2.9')).toBeUndefined();
    expect(routeFromPrint(WINDOWS.replaceAll(/ +0\.0\.0\.0 .*/g, ''), '198.51.100.3')?.reach).toBe('none');
  });

  // An `ip` that does not know an option ends with 255 (from memory).
  test.runIf(process.platform === 'linux')('an `ip` without -j: the kernel’s own table, or nothing known', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'old-ip-'));
    onTestFinished(() => rmSync(folder, { recursive: true }));
    writeFileSync(join(folder, 'ip'), '#!/bin/sh\nexit 255\n', { mode: 0o755 });
    const known = await findRoute('198.51.100.3');
    vi.stubEnv('PATH', `${folder}:${process.env.PATH}`);
    onTestFinished(() => void vi.unstubAllEnvs());
    expect(await findRoute('198.51.100.3')).toEqual(known);
    expect(await findRoute('2001:db8::9')).toBeNull();
  });

  test('loopback needs no table; a name has no route', async () => {
    expect(await findRoute('127.34.0.1')).toMatchObject({ reach: 'loopback' });
    expect(await findRoute('::1')).toMatchObject({ reach: 'loopback' });
    expect(await findRoute('front-desk.example')).toMatchObject({ reach: 'none' });
  });
});
