import type { Buffer } from 'node:buffer';
import { setTimeout as delay } from 'node:timers/promises';
import { expect, test } from 'vitest';
import type { SwitchValue } from '../../../src/model/evidence.js';
import { switchProbe } from '../../../src/probes/switch/switch.js';
import { integer, octets } from '../../net/ber.js';
import { type Handler, honest, type Request, response, startAgent, Tree } from '../../net/snmp-agent.js';
import { net, PUBLIC, target } from '../snmp/reading.js';

const ADDRESS = '127.32.5.9';
const PORT = 14;
/** RFC 4188 dot1dTpFdbPort, RFC 2863 ifOperStatus. */
const FDB_PORT = '1.3.6.1.2.1.17.4.3.1.2';
const OPER_STATUS = '1.3.6.1.2.1.2.2.1.8';

const row = (n: number): string => `${FDB_PORT}.2.0.0.0.${n >> 8}.${n & 255}`;

function switchWith(rows: number): Tree {
  const objects: Record<string, Buffer> = {
    '1.3.6.1.2.1.1.5.0': octets('cabinet'),
    [`${OPER_STATUS}.${PORT}`]: integer(1),
  };
  for (let n = 0; n < rows; n++) objects[row(n)] = integer(PORT);
  return new Tree(objects);
}

async function readFrom(handler: Handler, deadlineMs: number, delayMs = 0) {
  const agent = await startAgent(ADDRESS, handler, delayMs);
  const asked = { ...target('192.0.2.30', 161), switch: { address: ADDRESS, port: PORT, snmpPort: agent.port } };
  const started = performance.now();
  const limits = { timeoutMs: 5000, retries: 0, deadlineMs, credentials: [PUBLIC] };
  const [record] = await switchProbe.run(asked, net, limits);
  const tookMs = performance.now() - started;
  const requests = agent.seen.length;
  await delay(3 * delayMs);
  const after = agent.seen.length - requests;
  await agent.close();
  return { outcome: record?.outcome, value: record?.value as SwitchValue | null, tookMs, requests, after };
}

test('a large table of a slow switch is read as far as the time goes, and nothing is asked after it', async () => {
  const tree = switchWith(4000);
  const read = await readFrom((request) => honest(tree, request), 1500, 60);
  expect(read).toMatchObject({ outcome: 'answered', value: { operStatus: 'up' }, after: 0 });
  expect(read.value?.macs?.length).toBeGreaterThan(0);
  expect(read.tookMs).toBeLessThan(3000);
});

const asksFor = (request: Request, column: string): boolean => request.oids.some((oid) => oid.startsWith(column));

test('a switch that falls silent about its ports is silent, not garbled', async () => {
  const tree = switchWith(3);
  const handler: Handler = (request) => (asksFor(request, OPER_STATUS) ? undefined : honest(tree, request));
  expect(await readFrom(handler, 600)).toMatchObject({ outcome: 'silent', value: null });
});

test('a lost answer about the bridge port is not taken for a switch without such a table', async () => {
  const tree = switchWith(3);
  const handler: Handler = (request) =>
    asksFor(request, '1.3.6.1.2.1.17.1.4.1.2') ? undefined : honest(tree, request);
  expect(await readFrom(handler, 600)).toMatchObject({ outcome: 'silent', value: null });
});

test('rows that turn back end the walk (RFC 3416 4.2.3)', async () => {
  const tree = switchWith(3);
  const handler: Handler = (request) => {
    if (request.kind !== 'bulk' || !asksFor(request, FDB_PORT)) return honest(tree, request);
    const turn = asksFor(request, row(6)) ? [4, 5] : [5, 6];
    return response(request, { bindings: turn.map((n) => [row(n), integer(PORT)]) });
  };
  const read = await readFrom(handler, 5000);
  expect(read.value?.macs).toEqual(['02:00:00:00:00:05', '02:00:00:00:00:06']);
  expect(read.requests).toBeLessThan(20);
});
