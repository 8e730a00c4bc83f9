import { expect, test } from 'vitest';
import { dnsProbe } from '../../../src/probes/dns/dns.js';
import { netWith } from '../net-stand-in.js';

const LIMITS = { timeoutMs: 2000, retries: 0, deadlineMs: 5000, credentials: [] };
const target = (host: string, hostName?: string) => ({
  label: 'front-desk',
  host,
  snmpPort: 161,
  printPorts: [],
  queues: [],
  ...(hostName === undefined ? {} : { hostName }),
});

test('a target known by its address has no name to look up: its label need not be one', async () => {
  expect(await dnsProbe.run(target('192.0.2.7'), netWith({}), LIMITS)).toEqual([]);
});

test('a host name is looked up, before and after it was resolved', async () => {
  const net = netWith({ resolve: async () => ({ outcome: 'answered', addresses: ['192.0.2.7'], tookMs: 4 }) });
  for (const asked of [target('desk.example'), target('192.0.2.7', 'desk.example')]) {
    expect(await dnsProbe.run(asked, net, LIMITS)).toMatchObject([
      {
        source: 'dns',
        what: 'desk.example',
        about: 'target',
        outcome: 'answered',
        value: { addresses: ['192.0.2.7'] },
      },
    ]);
  }
});

test('a name that does not exist is a refusal with its code', async () => {
  const net = netWith({ resolve: async () => ({ outcome: 'refused', addresses: [], code: 'ENOTFOUND', tookMs: 4 }) });
  expect(await dnsProbe.run(target('desk.example'), net, LIMITS)).toMatchObject([
    { outcome: 'refused', value: { addresses: [], code: 'ENOTFOUND' }, tookMs: 4 },
  ]);
});
