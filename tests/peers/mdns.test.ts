import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Observation, ServiceInstance } from '../../src/model/evidence.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { ResolveResult } from '../../src/net/net.js';
import { type Bridge, firstLine, makeBridge } from './namespace-bridge.js';
import { describeWithPeers, findProgram } from './peer.js';

const NEEDS = ['namespaces', 'ip', 'dbus-daemon', 'avahi-daemon', 'avahi-publish', 'unshare', 'sh'];

/** A private bus: no other process of the machine is on it. */
const BUS = `<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>system</type><listen>unix:path=SOCKET</listen><auth>EXTERNAL</auth>
<policy context="default"><allow user="*"/><allow own="*"/><allow send_type="method_call"/><allow send_requested_reply="true" send_type="method_return"/><allow send_requested_reply="true" send_type="error"/><allow receive_type="method_call"/><allow receive_type="method_return"/><allow receive_type="error"/><allow receive_type="signal"/><allow send_type="signal"/></policy></busconfig>`;

describeWithPeers('DNS-SD against avahi in a namespace', NEEDS, () => {
  let bridge: Bridge;
  let folder = '';

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-mdns-'));
    bridge = makeBridge();
    const host = bridge.addHost('192.0.2.21/24');
    const socket = join(folder, 'bus');
    writeFileSync(join(folder, 'bus.conf'), BUS.replace('SOCKET', socket));
    writeFileSync(
      join(folder, 'avahi.conf'),
      '[server]\nhost-name=front-desk\nuse-ipv6=no\nallow-interfaces=eth0\n[publish]\npublish-hinfo=no\npublish-aaaa-on-ipv4=no\npublish-workstation=no\n',
    );
    mkdirSync(join(folder, 'run'));
    const env = { DBUS_SYSTEM_BUS_ADDRESS: `unix:path=${socket}` };
    const bus = bridge.start(host, program('dbus-daemon'), [
      `--config-file=${join(folder, 'bus.conf')}`,
      '--nofork',
      '--nopidfile',
      '--print-address',
    ]);
    await firstLine(bus);
    // Its run folder is fixed: in a mount namespace of its own it gets an empty one, and no other daemon is in the way.
    const daemon = `mkdir -p /run/avahi-daemon && mount -t tmpfs none /run/avahi-daemon && exec ${program('avahi-daemon')} --no-drop-root --no-chroot --no-rlimits -f ${join(folder, 'avahi.conf')} 2>&1`;
    const avahi = bridge.start(host, program('unshare'), ['-m', 'sh', '-c', daemon], env);
    await saying(avahi.stdout, 'startup complete');
    const publish = (...args: readonly string[]) => bridge.start(host, program('avahi-publish'), args, env);
    publish(
      '-s',
      'Front Desk 2.1 (Harbour)',
      '_ipp._tcp',
      '631',
      'rp=ipp/print',
      'ty=Example 100',
      'UUID=11111111-2222-4333-8444-555555555555',
    );
    publish('-s', 'Front Desk 2.1 (Harbour)', '_printer._tcp', '515');
    publish('-s', 'Attic', '_http._tcp', '80');
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

function program(name: string): string {
  return findProgram(name) ?? name;
}

function saying(stream: NodeJS.ReadableStream | null, words: string): Promise<void> {
  return new Promise((resolve, reject) => {
    let heard = '';
    stream?.on('data', (chunk) => {
      heard += String(chunk);
      if (heard.includes(words)) resolve();
    });
    stream?.on('end', () => reject(new Error(`it ended before it said "${words}": ${heard}`)));
  });
}
