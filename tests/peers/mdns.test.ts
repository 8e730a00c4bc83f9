import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Observation, ServiceInstance } from '../../src/model/evidence.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { ResolveResult } from '../../src/net/net.js';
import { AVAHI_NEEDS, startAvahi } from './avahi.js';
import { type Bridge, makeBridge } from './namespace-bridge.js';
import { describeWithPeers } from './peer.js';

describeWithPeers('DNS-SD against avahi in a namespace', AVAHI_NEEDS, () => {
  let bridge: Bridge;
  let folder = '';

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-mdns-'));
    bridge = makeBridge();
    const host = bridge.addHost('192.0.2.21/24');
    const { publish } = await startAvahi(bridge, host, folder, 'front-desk');
    publish(
      'Front Desk 2.1 (Harbour)',
      '_ipp._tcp',
      '631',
      'rp=ipp/print',
      'ty=Example 100',
      'UUID=11111111-2222-4333-8444-555555555555',
    );
    publish('Front Desk 2.1 (Harbour)', '_printer._tcp', '515');
    publish('Attic', '_http._tcp', '80');
  }, 60_000);
  afterAll(() => {
    bridge?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  test('finds each service with port, address and keys, the dot in its name kept', async () => {
    const found = await bridge.errand<ServiceInstance[]>(bridge.asker, 'browse', '_ipp._tcp', '_printer._tcp');
    expect(found).toEqual([
      {
        name: 'Front Desk 2.1 (Harbour)',
        type: '_ipp._tcp',
        host: 'front-desk.local',
        port: 631,
        addresses: ['192.0.2.21'],
        txt: { rp: 'ipp/print', ty: 'Example 100', uuid: '11111111-2222-4333-8444-555555555555' },
      },
      {
        name: 'Front Desk 2.1 (Harbour)',
        type: '_printer._tcp',
        host: 'front-desk.local',
        port: 515,
        addresses: ['192.0.2.21'],
        txt: {},
      },
    ]);
  });

  test('the probe keeps what belongs to its target', async () => {
    const own = await bridge.errand<Observation[]>(bridge.asker, 'dnsSdProbe', '192.0.2.21');
    expect(own.map((record) => [record.what, record.outcome])).toEqual([
      ['_ipp._tcp', 'answered'],
      ['_printer._tcp', 'answered'],
    ]);
    const other = await bridge.errand<Observation[]>(bridge.asker, 'dnsSdProbe', '192.0.2.22');
    expect(other).toMatchObject([{ outcome: 'silent', value: { instances: [] } }]);
  });

  test('a .local name is found though no name server knows it', async () => {
    const found = await bridge.errand<ResolveResult>(bridge.asker, 'resolve', 'front-desk.local');
    expect(found).toMatchObject({ outcome: 'answered', addresses: ['192.0.2.21'] });
  });

  test('a sweep finds a printer that answers nothing but DNS-SD', async () => {
    const document = await bridge.errand<SweepDocument>(bridge.asker, 'sweep', '192.0.2.16/28');
    expect(document.found).toMatchObject([
      {
        address: '192.0.2.21',
        name: 'Front Desk 2.1 (Harbour)',
        model: 'Example 100',
        uuid: '11111111-2222-4333-8444-555555555555',
        dnsSd: true,
        foundBy: ['dns-sd', 'neighbour'],
      },
    ]);
    expect(document.others).toEqual([]);
  });

  test('a machine without any network but loopback hears nothing, and says so without an error', async () => {
    const alone = bridge.addHost();
    bridge.run(alone, 'ip', 'link', 'set', 'eth0', 'down');
    expect(await bridge.errand<ServiceInstance[]>(alone, 'browse', '_ipp._tcp')).toEqual([]);
  });
});
