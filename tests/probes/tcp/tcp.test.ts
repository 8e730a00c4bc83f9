import { createServer } from 'node:net';
import { expect, test } from 'vitest';
import { createSystemNet } from '../../../src/net/system-net.js';
import { tcpProbe } from '../../../src/probes/tcp/tcp.js';
import { netWith } from '../net-stand-in.js';

const LIMITS = { timeoutMs: 2000, retries: 0, deadlineMs: 3000, credentials: [] };

test('every print port and the web ports, once each, in order, without a byte', async () => {
  const host = '127.34.2.1';
  let octets = 0;
  const server = createServer((socket) =>
    socket
      .on('data', (data) => {
        octets += data.length;
      })
      .on('error', () => undefined),
  );
  await new Promise<void>((resolve) => server.listen(0, host, resolve));
  const { port } = server.address() as { port: number };
  try {
    const target = { label: 'x', host, snmpPort: 161, printPorts: [port, 9, 80, port], queues: [] };
    const records = await tcpProbe.run(target, createSystemNet(), LIMITS);
    expect(records.map((record) => [record.what, record.outcome, record.value])).toEqual([
      [`${port}/tcp`, 'answered', 'open'],
      ['9/tcp', 'refused', 'ECONNREFUSED'],
      ['80/tcp', 'refused', 'ECONNREFUSED'],
      ['443/tcp', 'refused', 'ECONNREFUSED'],
    ]);
    expect(records[0]).toMatchObject({ source: 'tcp', about: 'target', subject: host });
    expect(octets).toBe(0);
  } finally {
    await new Promise<void>((resolve) => server.close(() => resolve()));
  }
});

// A router that looks for a host says "unreachable" when its search ends (RFC 1812 section 5.3.3), whenever a call came in; it begins anew then.
test('an "unreachable" that came soon is believed when it comes soon again', async () => {
  const target = { label: 'x', host: '198.51.100.9', snmpPort: 161, printPorts: [631], queues: [] };
  const told = async (again: { outcome: 'failed' | 'silent'; value: string; tookMs: number }) => {
    const calls = new Map<number, number>();
    const net = netWith({
      tcpConnect: async (_host, port) => {
        calls.set(port, (calls.get(port) ?? 0) + 1);
        return calls.get(port) === 1 ? { outcome: 'failed', value: 'EHOSTUNREACH', tookMs: 238 } : again;
      },
    });
    const [record] = await tcpProbe.run(target, net, LIMITS);
    return [record?.outcome, record?.value, record?.tookMs];
  };
  const [search, firewall] = await Promise.all([
    told({ outcome: 'silent', value: 'ETIMEDOUT', tookMs: 1700 }),
    told({ outcome: 'failed', value: 'EHOSTUNREACH', tookMs: 3 }),
  ]);
  expect(search).toEqual(['silent', 'ETIMEDOUT', 1700]);
  expect(firewall).toEqual(['failed', 'EHOSTUNREACH', 3]);
});
