import { afterAll, beforeAll, expect, test } from 'vitest';
import type { SweepDocument } from '../../src/model/sweep.js';
import { type Bridge, makeBridge } from './namespace-bridge.js';
import { describeWithPeers } from './peer.js';

describeWithPeers('a sweep over a /24 of network namespaces', ['namespaces', 'ip', 'nft'], () => {
  let bridge: Bridge;
  let document: SweepDocument;

  beforeAll(async () => {
    bridge = makeBridge();
    const desk = bridge.addHost('192.0.2.21/24', '192.0.2.22/24');
    const archive = bridge.addHost('192.0.2.200/24');
    const files = bridge.addHost('192.0.2.50/24');
    bridge.addHost('192.0.2.60/24');
    const quiet = bridge.addHost('192.0.2.70/24');
    bridge.run(
      quiet,
      'nft',
      'add table inet wall; add chain inet wall in { type filter hook input priority 0; }; add rule inet wall in meta l4proto tcp drop',
    );
    const walled = bridge.addHost('192.0.2.61/24');
    bridge.run(
      walled,
      'nft',
      'add table inet wall; add chain inet wall in { type filter hook input priority 0; policy drop; }',
    );
    await Promise.all([
      bridge.device(desk, 'front-desk', '192.0.2.21'),
      bridge.device(desk, 'front-desk', '192.0.2.22'),
      bridge.device(archive, 'drawing-room', '192.0.2.200'),
      bridge.device(files, 'tide-store', '192.0.2.50'),
      bridge.device(quiet, 'meeting-room', '192.0.2.70'),
    ]);
    document = await bridge.errand<SweepDocument>(bridge.asker, 'sweep');
  }, 60_000);
  afterAll(() => bridge?.close());

  test('takes the own subnet when no range is named', () => {
    expect(document.ranges).toEqual(['192.0.2.0/24']);
    expect(document.addressesTried).toBe(254);
  });

  test('finds every printer, one device once', () => {
    const found = document.found.map((printer) => [printer.address, printer.alsoAt, printer.name]);
    expect(found).toContainEqual(['192.0.2.21', ['192.0.2.22'], 'front-desk']);
    expect(found).toContainEqual(['192.0.2.200', [], 'drawing-room']);
    expect(found).toContainEqual(['192.0.2.70', [], 'meeting-room']);
    const quiet = document.found.find((printer) => printer.address === '192.0.2.70');
    expect(quiet).toMatchObject({ snmp: '2c', ports: [], foundBy: ['snmp', 'neighbour'] });
    const desk = document.found.find((printer) => printer.address === '192.0.2.21');
    expect(desk?.foundBy).toEqual(expect.arrayContaining(['snmp', 'ipp', 'tcp', 'neighbour']));
  });

  test('keeps hosts that print nothing apart, and says nothing of absent ones', () => {
    const others = document.others.map((other) => other.address);
    expect(others).toContain('192.0.2.60');
    expect(others).toContain('192.0.2.61');
    expect(others.every((address) => ['192.0.2.1', '192.0.2.60', '192.0.2.61', '192.0.2.50'].includes(address))).toBe(
      true,
    );
  });
});
