import { afterAll, beforeAll, expect, test } from 'vitest';
import type { NeighbourEntryValue, Observation, RouteValue } from '../../src/model/evidence.js';
import type { TcpResult } from '../../src/net/net.js';
import { type Bridge, makeBridge } from './namespace-bridge.js';
import { describeWithPeers, findProgram } from './peer.js';

describeWithPeers('neighbours, routes and firewalls in network namespaces', ['namespaces', 'ip', 'nft'], () => {
  let bridge: Bridge;
  let alive = '';

  beforeAll(() => {
    bridge = makeBridge();
    alive = bridge.addHost('192.0.2.2/24', '198.51.100.1/24');
    const walled = bridge.addHost('192.0.2.3/24');
    bridge.run(walled, 'nft', 'add table inet wall; add chain inet wall in { type filter hook input priority 0; }');
    bridge.run(walled, 'nft', 'add rule inet wall in tcp dport 631 reject with icmpx type admin-prohibited');
    bridge.run(walled, 'nft', 'add rule inet wall in tcp dport 9100 drop; add rule inet wall in udp dport 9 drop');
    bridge.run(walled, 'nft', 'add rule inet wall in tcp dport 515 reject with tcp reset');
  });
  afterAll(() => bridge?.close());

  const entry = (address: string) => bridge.errand<NeighbourEntryValue>(bridge.asker, 'neighbour', address);
  const tcp = (address: string, port: number) => bridge.errand<TcpResult>(bridge.asker, 'tcp', address, String(port));

  test('a host that is there resolves, and refuses', async () => {
    const mac = /ether ([0-9a-f:]{17})/.exec(bridge.run(alive, 'ip', 'link', 'show', 'eth0'))?.[1];
    expect(await entry('192.0.2.2')).toEqual({ kind: 'entry', state: 'reachable', mac, interface: 'br0' });
    expect(await tcp('192.0.2.2', 631)).toMatchObject({ outcome: 'refused', value: 'ECONNREFUSED' });
  });

  test('an absent host fails to resolve; "unreachable" comes late for it and at once from a firewall', async () => {
    const [row, absent] = await Promise.all([entry('192.0.2.99'), tcp('192.0.2.99', 631)]);
    expect(row).toMatchObject({ state: 'failed', mac: null });
    expect(absent).toMatchObject({ outcome: 'failed', value: 'EHOSTUNREACH' });
    const walled = await tcp('192.0.2.3', 631);
    expect(walled).toMatchObject({ outcome: 'failed', value: 'EHOSTUNREACH' });
    // Resolution runs out after three questions, a second apart; the firewall's word needs no waiting.
    expect(absent.tookMs).toBeGreaterThan(1500);
    expect(walled.tookMs).toBeLessThan(absent.tookMs);
  });

  test('a firewall that drops is silence, and the link still tells that the host is there', async () => {
    expect(await tcp('192.0.2.3', 9100)).toMatchObject({ outcome: 'silent', value: 'ETIMEDOUT' });
    expect(await tcp('192.0.2.3', 515)).toMatchObject({ outcome: 'refused', value: 'ECONNREFUSED' });
    expect(await entry('192.0.2.3')).toMatchObject({ state: 'reachable' });
  });

  test('a host that was known and then lost its cable is not alive by an old row', async () => {
    const gone = bridge.addHost('192.0.2.4/24');
    expect(await entry('192.0.2.4')).toMatchObject({ state: 'reachable' });
    bridge.run(gone, 'ip', 'link', 'set', 'eth0', 'down');
    const after = await entry('192.0.2.4');
    expect(after.state).toBe('failed');
  });

  test('routes: on the link, through a gateway, none', async () => {
    const route = (address: string) => bridge.errand<RouteValue>(bridge.asker, 'route', address);
    expect(await route('192.0.2.77')).toMatchObject({ reach: 'onlink', interface: 'br0', carrier: true });
    expect(await route('198.51.100.3')).toMatchObject({ reach: 'none', interface: null });
    bridge.run(bridge.asker, 'ip', 'route', 'add', 'default', 'via', '192.0.2.2');
    expect(await route('198.51.100.3')).toMatchObject({ reach: 'routed', gateway: '192.0.2.2', interface: 'br0' });
    bridge.run(bridge.asker, 'ip', 'route', 'add', 'unreachable', '203.0.113.0/24');
    expect(await route('203.0.113.5')).toMatchObject({ reach: 'none' });
    expect(await route('192.0.2.1')).toMatchObject({ reach: 'loopback' });
  });

  test('a link-local address with its zone: route and entry on that interface (RFC 4007 section 11)', async () => {
    const own = /inet6 (fe80:[0-9a-f:]+)/.exec(bridge.run(alive, 'ip', '-6', 'addr', 'show', 'eth0'))?.[1];
    const zoned = `${own}%br0`;
    const route = await bridge.errand<RouteValue>(bridge.asker, 'route', zoned);
    expect(route).toMatchObject({ reach: 'onlink', interface: 'br0', gateway: null, carrier: true });
    expect(await entry(zoned)).toMatchObject({ state: 'reachable', interface: 'br0' });
  });

  test('the probe brings the controls: gateway and fellows answer while the target does not', async () => {
    const records = await bridge.errand<Observation[]>(bridge.asker, 'neighbourProbe', '192.0.2.99');
    const shown = records.map((record) => [record.about, record.subject, record.what, record.outcome]);
    expect(shown).toContainEqual(['self', 'default', 'route', 'answered']);
    expect(shown).toContainEqual(['target', '192.0.2.99', 'route', 'answered']);
    expect(shown).toContainEqual(['target', '192.0.2.99', 'entry', 'silent']);
    expect(shown).toContainEqual(['gateway', '192.0.2.2', 'entry', 'answered']);
    expect(shown).toContainEqual(['fellow', '192.0.2.3', 'entry', 'answered']);
  });

  test('a routed target has no entry of its own; the gateway shows life by a refusal', async () => {
    const records = await bridge.errand<Observation[]>(bridge.asker, 'neighbourProbe', '198.51.100.9');
    expect(records.some((record) => record.about === 'target' && record.what === 'entry')).toBe(false);
    expect(records).toContainEqual(
      expect.objectContaining({ source: 'tcp', about: 'gateway', what: '80/tcp', value: 'ECONNREFUSED' }),
    );
  });

  test.skipIf(findProgram('ping') === null)('the system’s echo, where it has one', async () => {
    const [found] = await bridge.errand<Observation[]>(bridge.asker, 'icmpProbe', '192.0.2.2');
    expect(found).toMatchObject({ source: 'icmp', what: 'echo', outcome: 'answered' });
  });
});
