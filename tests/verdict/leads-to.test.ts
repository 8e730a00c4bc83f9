import { describe, expect, test } from 'vitest';
import type { DeviceFact } from '../../src/facts/device-uri.js';
import { parseDeviceUri } from '../../src/facts/device-uri.js';
import type { QueueFact } from '../../src/facts/queues.js';
import { type KnownPrinter, leadsTo } from '../../src/verdict/leads-to.js';
import { printerFinding } from '../../src/verdict/queue-findings.js';

const UUID = '0e1f2a3b-4c5d-6e7f-8091-a2b3c4d5e6f7';
const printer = (more: Partial<KnownPrinter>): KnownPrinter => ({
  label: 'front-desk',
  addresses: [],
  hostNames: [],
  uuids: [],
  serviceNames: [],
  ...more,
});
const PRINTERS = [
  printer({ label: 'other', addresses: ['192.0.2.20'], hostNames: ['other.example'] }),
  printer({
    addresses: ['192.0.2.21', '2001:db8::21'],
    hostNames: ['desk.example'],
    uuids: [UUID],
    serviceNames: ['Front desk'],
  }),
];

function to(uri: string, addresses: readonly string[] = []): string | null {
  const parsed = parseDeviceUri(uri);
  const device: DeviceFact | null = parsed && {
    uri,
    ...parsed,
    addresses,
    wanted: null,
    leadsHere: null,
    evidence: [],
  };
  return leadsTo({ device } as unknown as QueueFact, PRINTERS);
}

describe('where a device URI leads', () => {
  test.each([
    ['ipp://192.0.2.21/ipp/print', [], 'front-desk'],
    ['ipps://192.0.2.21:631/ipp/print', [], 'front-desk'],
    ['socket://192.0.2.21:9100', [], 'front-desk'],
    ['lpd://192.0.2.21/queue', [], 'front-desk'],
    ['ipp://[2001:db8::21]/ipp/print', [], 'front-desk'],
    ['ipp://DESK.example./ipp/print', [], 'front-desk'],
    ['ipp://printer-7.example/ipp/print', ['192.0.2.21'], 'front-desk'],
    [`dnssd://Somebody._ipp._tcp.local/?uuid=${UUID}`, [], 'front-desk'],
    ['dnssd://Front%20desk._ipp._tcp.local/', [], 'front-desk'],
    ['dnssd://Nobody._ipp._tcp.local/', [], null],
    ['dnssd://%E0%A4%A/', [], null],
    ['socket://192.0.2.99', [], null],
    ['usb://Sandpiper/300', [], null],
    ['file:///dev/null', [], null],
  ])('%s', (uri, addresses, label) => {
    expect(to(uri, addresses)).toBe(label);
  });
});

test('what stops the printer below its queue is a finding of the queue too', () => {
  const verdict = { layer: 'media', cause: 'media-empty', certainty: 'sure', summary: 'No paper.', next: [] } as const;
  expect(printerFinding({ silent: true, verdict })).toMatchObject({ layer: 'media', severity: 'fault', job: null });
  expect(printerFinding({ silent: false, verdict })).toBeNull();
  expect(printerFinding({ silent: null, verdict })).toBeNull();
  expect(printerFinding({ silent: true, verdict: { ...verdict, layer: 'queue' } })).toBeNull();
  expect(printerFinding({ silent: true, verdict: { ...verdict, layer: 'access' } })).toBeNull();
});
