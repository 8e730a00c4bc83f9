import { describe, expect, test } from 'vitest';
import type { NeighbourState, RouteValue } from '../../../src/model/evidence.js';
import type { NeighbourRow, Net } from '../../../src/net/net.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { chooseFellows, likelyFellows } from '../../../src/probes/neighbour/fellows.js';
import { neighbourProbe } from '../../../src/probes/neighbour/neighbour.js';
import { netWith } from '../net-stand-in.js';

const LIMITS = { timeoutMs: 2000, retries: 0, deadlineMs: 4500, credentials: [] };
const target = (host: string) => ({ label: 'x', host, snmpPort: 161, printPorts: [], queues: [] });

const row = (address: string, state: NeighbourState, own: Partial<NeighbourRow> = {}): NeighbourRow => ({
  kind: 'entry',
  address,
  state,
  mac: '02:00:00:00:00:01',
  interface: 'eth0',
  ...own,
});
const route = (reach: RouteValue['reach'], gateway: string | null, device: string | null = 'eth0'): RouteValue => ({
  kind: 'route',
  reach,
  interface: device,
  gateway,
  carrier: true,
});

const states: Readonly<Record<string, NeighbourState>> = { '192.0.2.7': 'failed', '192.0.2.3': 'stale' };
const SILENTLY: Pick<Net, 'rouser'> = { rouser: () => ({ rouse: () => undefined, close: () => undefined }) };
const LINK: Partial<Net> = {
  ...SILENTLY,
  route: async (address) => (address.startsWith('192.0.2.') ? route('onlink', null) : route('routed', '192.0.2.254')),
  neighbour: async (address) => row(address, states[address] ?? 'reachable'),
  neighbours: async () => [row('192.0.2.2', 'stale'), row('192.0.2.3', 'reachable'), row('192.0.2.7', 'stale')],
};
const shown = async (host: string, net: Net) =>
  (await neighbourProbe.run(target(host), net, LIMITS)).map(
    (one) => `${one.about} ${one.subject} ${one.what} ${one.outcome}`,
  );

describe('neighbour probe', () => {
  test('on the link: the target, the gateway and fellows, each resolved afresh', async () => {
    expect(await shown('192.0.2.7', netWith(LINK))).toEqual([
      'self default route answered',
      'target 192.0.2.7 route answered',
      'target 192.0.2.7 entry silent',
      'gateway 192.0.2.254 entry answered',
      'fellow 192.0.2.3 entry silent',
      'fellow 192.0.2.2 entry answered',
    ]);
  });

  test('routed: the gateway alone, by its link and by a connection', async () => {
    const net = netWith({
      ...LINK,
      tcpConnect: async () => ({ outcome: 'refused', value: 'ECONNREFUSED', tookMs: 1 }),
    });
    expect(await shown('198.51.100.7', net)).toEqual([
      'self default route answered',
      'target 198.51.100.7 route answered',
      'gateway 192.0.2.254 entry answered',
      'gateway 192.0.2.254 80/tcp refused',
      'gateway 192.0.2.254 443/tcp refused',
      'gateway 192.0.2.254 53/tcp refused',
    ]);
  });

  test('no route: that is all there is to say', async () => {
    const net = netWith({ route: async () => route('none', null, null) });
    expect(await shown('192.0.2.7', net)).toEqual(['self default route failed', 'target 192.0.2.7 route failed']);
  });

  test('a table that can’t be read is no missing route', async () => {
    const records = await neighbourProbe.run(target('192.0.2.7'), netWith({ route: async () => null }), LIMITS);
    expect(records.map(({ outcome, value }) => [outcome, value])).toEqual([
      ['failed', null],
      ['failed', null],
    ]);
  });

  test('nobody known and no gateway: likely addresses are tried, only those that answer are recorded', async () => {
    const net = netWith({
      route: async (address) => (address.startsWith('192.0.2.') ? route('onlink', null) : route('none', null, null)),
      ...SILENTLY,
      neighbours: async () => [],
      neighbour: async (address) => row(address, address === '192.0.2.8' ? 'reachable' : 'failed'),
    });
    expect(await shown('192.0.2.7', net)).toEqual([
      'self default route failed',
      'target 192.0.2.7 route answered',
      'target 192.0.2.7 entry silent',
      'fellow 192.0.2.8 entry answered',
    ]);
    expect(likelyFellows('192.0.2.1')).toEqual(['192.0.2.254', '192.0.2.2', '192.0.2.3']);
    expect(likelyFellows('2001:db8::1')).toEqual([]);
  });

  test('a gateway of another interface is no control for this link', async () => {
    const net = netWith({
      ...LINK,
      route: async (address) =>
        address.startsWith('192.0.2.') ? route('onlink', null, 'eth0') : route('routed', '203.0.113.1', 'eth1'),
    });
    expect((await shown('192.0.2.7', net)).some((line) => line.startsWith('gateway'))).toBe(false);
  });

  test('a name that does not resolve leaves only this machine’s own route', async () => {
    const net = netWith({ ...LINK, resolve: async () => ({ outcome: 'refused', addresses: [], tookMs: 1 }) });
    expect(await shown('desk.example', net)).toEqual(['self default route answered']);
  });

  test('whoever answers for unrelated addresses too is put down; a host of its own is not (RFC 1027)', async () => {
    const asked: string[] = [];
    const net = netWith({
      ...LINK,
      neighbours: async () => [
        row('192.0.2.15', 'reachable'),
        row('192.0.2.23', 'reachable', { mac: '02:00:00:00:00:02' }),
      ],
      rouser: () => ({ rouse: (address) => asked.push(address), close: () => undefined }),
    });
    const records = await neighbourProbe.run(target('192.0.2.31'), net, LIMITS);
    expect(asked).toEqual(['192.0.2.23', '192.0.2.15', '192.0.2.63']);
    expect(
      records
        .filter(({ about }) => about === 'fellow')
        .map(({ subject }) => subject)
        .sort(),
    ).toEqual(['192.0.2.15', '192.0.2.15', '192.0.2.23']);
  });

  test('loopback on the real machine: routes, no entry, no traffic', async () => {
    const records = await neighbourProbe.run(target('127.34.3.1'), createSystemNet(), LIMITS);
    expect(records.map((one) => `${one.about} ${one.what}`)).toEqual(['self route', 'target route']);
    expect(records[1]?.value).toMatchObject({ reach: 'loopback' });
  });
});

test('fellows: same link, once answered, freshest first, three at most', () => {
  const rows = [
    row('192.0.2.10', 'stale'),
    row('192.0.2.9', 'stale'),
    row('192.0.2.20', 'reachable'),
    row('192.0.2.21', 'failed'),
    row('192.0.2.22', 'reachable', { mac: null }),
    row('192.0.2.23', 'reachable', { interface: 'eth1' }),
    row('192.0.2.7', 'reachable'),
    row('192.0.2.254', 'reachable'),
    row('2001:db8::1', 'reachable'),
    row('192.0.2.11', 'delay'),
  ];
  const chosen = chooseFellows(rows, '192.0.2.7', '192.0.2.254', 'eth0');
  expect(chosen.map((one) => one.address)).toEqual(['192.0.2.20', '192.0.2.11', '192.0.2.9']);
});
