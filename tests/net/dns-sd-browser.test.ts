/**
 * What the browser of the package `bonjour-service` does with announcements as real responders send them, shown on the
 * package itself, and beside it what is made of the same packets here. A failing test of the first group means that the
 * package has learnt something: then the completing can go.
 */
import { EventEmitter } from 'node:events';
import bonjour from 'bonjour-service';
import { type Answer, decode, encode, type Packet } from 'dns-packet';
import { expect, test, vi } from 'vitest';
import { type HeardRecord, HeardRecords } from '../../src/net/dns-sd/records.js';

const FULL = 'Front Desk._ipp._tcp.local';
const ptr = (full = FULL): Answer => ({ name: '_ipp._tcp.local', type: 'PTR', ttl: 4500, data: full });
const srv = (full = FULL): Answer => ({ name: full, type: 'SRV', ttl: 120, data: { target: 'desk.local', port: 631 } });
const txt = (...pairs: readonly string[]): Answer => ({
  name: FULL,
  type: 'TXT',
  ttl: 4500,
  data: pairs.map((pair) => Buffer.from(pair)),
});
const a: Answer = { name: 'desk.local', type: 'A', ttl: 120, data: '192.0.2.21' };

/** The same packets, encoded and decoded as on the wire, to the package's browser and to the records here. */
function both(...packets: readonly (readonly Answer[])[]) {
  const mdns = Object.assign(new EventEmitter(), { query: () => undefined });
  const browser = new bonjour.Browser(mdns, { type: 'ipp' });
  const records = new HeardRecords();
  for (const answers of packets) {
    const packet = decode(encode({ type: 'response', answers: [...answers] })) as Packet;
    mdns.emit('response', { ...packet, additionals: packet.additionals ?? [] }, { address: '192.0.2.21', port: 5353 });
    records.hear((packet.answers ?? []) as readonly HeardRecord[], 0);
  }
  return { browser, own: records.instances(['_ipp._tcp'], 1) };
}

test('an announcement that comes whole is found by both', () => {
  const { browser, own } = both([ptr(), srv(), txt('ty=Example 100'), a]);
  expect(browser.services).toMatchObject([{ name: 'Front Desk', port: 631, addresses: ['192.0.2.21'] }]);
  expect(own).toMatchObject([{ name: 'Front Desk', port: 631, addresses: ['192.0.2.21'], txt: { ty: 'Example 100' } }]);
});

test('PTR in one packet, SRV in the next: the browser never tells of it', () => {
  const { browser, own } = both([ptr()], [srv(), a]);
  expect(browser.services).toEqual([]);
  expect(own).toMatchObject([{ port: 631, addresses: ['192.0.2.21'] }]);
});

test('a TXT record that comes later stays unknown to the browser', () => {
  const { browser, own } = both([ptr(), srv()], [txt('ty=Example 100')]);
  expect(browser.services[0]?.txt).toBeUndefined();
  expect(own[0]?.txt).toEqual({ ty: 'Example 100' });
});

test('an address that comes later stays unknown to the browser', () => {
  const { browser, own } = both([ptr(), srv()], [a]);
  expect(browser.services[0]?.addresses).toEqual([]);
  expect(own[0]?.addresses).toEqual(['192.0.2.21']);
});

test('a dot in the instance name (RFC 6763 4.3) cuts it for the browser', () => {
  const full = 'Front Desk 2.1 (Harbour)._ipp._tcp.local';
  const { browser, own } = both([ptr(full), srv(full), a]);
  expect(browser.services[0]?.name).toBe('Front Desk 2');
  expect(browser.services[0]?.fqdn).toBe(full);
  expect(own[0]?.name).toBe('Front Desk 2.1 (Harbour)');
});

test('keys count in the case in which they came, and keys without a value vanish (RFC 6763 6.4 says otherwise)', () => {
  const { browser, own } = both([ptr(), srv(), txt('UUID=x', 'Color', 'Scan='), a]);
  expect(browser.services[0]?.txt).toMatchObject({ UUID: 'x' });
  expect(browser.services[0]?.txt?.Color).toBeUndefined();
  expect(own[0]?.txt).toEqual({ uuid: 'x', color: '', scan: '' });
});

test('an instance outlives its SRV record: the browser knows only the time of the PTR record', () => {
  vi.useFakeTimers();
  try {
    const { browser } = both([ptr(), srv(), a]);
    vi.advanceTimersByTime(121_000);
    browser.expire();
    expect(browser.services).toMatchObject([{ port: 631 }]);
  } finally {
    vi.useRealTimers();
  }
  const records = new HeardRecords();
  records.hear([ptr(), srv(), a] as readonly HeardRecord[], 0);
  expect(records.instances(['_ipp._tcp'], 121_000)).toMatchObject([{ host: null, port: null }]);
});
