import { expect, test } from 'vitest';
import type { Observation } from '../../src/model/evidence.js';
import { collectEvidence } from '../../src/probes/collect.js';
import type { Probe } from '../../src/probes/probe.js';
import { netWith } from './net-stand-in.js';

const HOST = '192.0.2.7';
const target = { label: 'front-desk', host: HOST, snmpPort: 161, printPorts: [], queues: [] };
const LIMITS = { timeoutMs: 500, retries: 0, deadlineMs: 2000, credentials: [] };

/** A queue with these device URIs, as a spooler would tell of it. */
function spoolerWith(uris: readonly string[]): Probe {
  const attributes = { 'device-uri': uris.map((uri) => ({ tag: 'uri', value: uri })) };
  const record = { source: 'spooler', what: 'queue', about: 'queue', subject: 'ipp://192.0.2.2/printers/q' };
  const told = { ...record, outcome: 'answered', value: { attributes }, at: '2026-01-31T09:00:00.000Z', tookMs: 1 };
  return { id: 'spooler', run: async () => [told as unknown as Observation] };
}

test('a queue that names thousands of ports has a few of them tried, of this printer alone', async () => {
  const uris = Array.from({ length: 3000 }, (_, n) => `socket://${HOST}:${10_000 + n}`);
  const called: string[] = [];
  const net = netWith({
    tcpConnect: async (host, port) => {
      called.push(`${host}:${port}`);
      return { outcome: 'refused', value: 'ECONNREFUSED', tookMs: 1 };
    },
  });
  await collectEvidence(target, net, LIMITS, [spoolerWith(['socket://192.0.2.9:9100', ...uris])]);
  expect(called.length).toBeGreaterThan(0);
  expect(called.length).toBeLessThanOrEqual(8);
  expect(called.every((place) => place.startsWith(`${HOST}:`))).toBe(true);
});
