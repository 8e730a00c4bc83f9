import { createServer } from 'node:net';
import { expect, test } from 'vitest';
import { createSystemNet } from '../../../src/net/system-net.js';
import { tcpProbe } from '../../../src/probes/tcp/tcp.js';

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
