import { expect, test } from 'vitest';
import type { RouteValue, ServiceInstance } from '../../../src/model/evidence.js';
import { belongsTo, dnsSdProbe } from '../../../src/probes/dns-sd/dns-sd.js';
import { netWith } from '../net-stand-in.js';

const LIMITS = { timeoutMs: 2000, retries: 0, deadlineMs: 5000, credentials: [] };
const target = (host: string) => ({ label: 'x', host, snmpPort: 161, printPorts: [], queues: [] });
const route = (reach: RouteValue['reach']) => async (): Promise<RouteValue> => ({
  kind: 'route',
  reach,
  interface: 'eth0',
  gateway: null,
  carrier: true,
});
const instance = (type: string, own: Partial<ServiceInstance> = {}): ServiceInstance => ({
  name: 'Desk',
  type,
  host: 'desk.local',
  port: 631,
  addresses: ['192.0.2.7'],
  txt: {},
  ...own,
});

test('keeps what belongs to the target, by service type', async () => {
  const net = netWith({
    route: route('onlink'),
    browse: async () => [
      instance('_ipp._tcp'),
      instance('_ipp._tcp', { name: 'Other', host: 'other.local', addresses: ['192.0.2.8'] }),
      instance('_printer._tcp', { port: 515 }),
    ],
  });
  const records = await dnsSdProbe.run(target('192.0.2.7'), net, LIMITS);
  expect(records).toMatchObject([
    { what: '_ipp._tcp', outcome: 'answered', value: { instances: [{ name: 'Desk' }] } },
    { what: '_printer._tcp', outcome: 'answered', value: { instances: [{ port: 515 }] } },
  ]);
});

test('an on-link target that announces nothing is silent', async () => {
  const net = netWith({
    route: route('onlink'),
    browse: async () => [instance('_ipp._tcp', { addresses: [], host: null })],
  });
  expect(await dnsSdProbe.run(target('192.0.2.7'), net, LIMITS)).toMatchObject([
    { what: '_ipp._tcp', outcome: 'silent', value: { instances: [] } },
  ]);
});

test('routed and loopback targets are not asked for; a .local name is', async () => {
  expect(await dnsSdProbe.run(target('192.0.2.7'), netWith({ route: route('routed') }), LIMITS)).toEqual([]);
  expect(await dnsSdProbe.run(target('127.0.0.1'), netWith({ route: route('loopback') }), LIMITS)).toEqual([]);
  expect(await dnsSdProbe.run(target('desk.example'), netWith({}), LIMITS)).toEqual([]);
  const net = netWith({ browse: async () => [instance('_ipp._tcp', { addresses: [] })] });
  expect(await dnsSdProbe.run(target('Desk.local.'), net, LIMITS)).toMatchObject([{ outcome: 'answered' }]);
});

test('belonging is by address or host name, whatever its case', () => {
  expect(belongsTo(instance('_ipp._tcp'), target('192.0.2.7'))).toBe(true);
  expect(belongsTo(instance('_ipp._tcp', { host: 'DESK.local.' }), target('desk.local'))).toBe(true);
  expect(belongsTo(instance('_ipp._tcp', { host: null, addresses: [] }), target(''))).toBe(false);
  // RFC 2782: a target of "." says that there is no such service.
  for (const host of ['.', '']) {
    expect(belongsTo(instance('_ipp._tcp', { host, addresses: [] }), target('192.0.2.7'))).toBe(false);
  }
});
