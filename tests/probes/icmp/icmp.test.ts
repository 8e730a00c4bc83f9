import { expect, test } from 'vitest';
import { icmpProbe } from '../../../src/probes/icmp/icmp.js';
import { netWith } from '../net-stand-in.js';

const LIMITS = { timeoutMs: 2000, retries: 0, deadlineMs: 1500, credentials: [] };
const TARGET = { label: 'x', host: '192.0.2.7', snmpPort: 161, printPorts: [], queues: [] };

test.each([
  [{ outcome: 'answered', rttMs: 0.4 } as const, { outcome: 'answered', value: { rttMs: 0.4 } }],
  [{ outcome: 'silent', rttMs: null } as const, { outcome: 'silent', value: null }],
  [{ outcome: 'failed', rttMs: null } as const, { outcome: 'failed', value: null }],
])('%j', async (echo, record) => {
  const asked: unknown[] = [];
  const net = netWith({
    ping: async (...args) => {
      asked.push(args);
      return echo;
    },
  });
  expect(await icmpProbe.run(TARGET, net, LIMITS)).toMatchObject([{ source: 'icmp', what: 'echo', ...record }]);
  expect(asked).toEqual([['192.0.2.7', 1500]]);
});
