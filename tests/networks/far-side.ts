import { execFileSync } from 'node:child_process';
import type { ScenarioInput } from '../../src/demo/device.js';
import type { Office } from './office.js';

/** Addresses of the far side: a printer behind two routers, with a narrow link between them. */
export const FAR_PRINTER = '198.51.100.21';
const NARROW = { near: '203.0.113.1', far: '203.0.113.2' };
const GATEWAY = '192.0.2.254';
const FAR_GATEWAY = '198.51.100.1';

/** What the routers do with a packet that is too long for the narrow link and must not be cut (RFC 1191, section 4). */
export type TooLong = 'told' | 'lost';

/**
 *     office 192.0.2.0/24 ── near router ── narrow link ── far router ── 198.51.100.0/24 with one printer
 */
export class FarSide {
  private constructor(
    private readonly office: Office,
    readonly near: string,
    readonly far: string,
    readonly printer: string,
  ) {}

  static async make(office: Office, scenario: ScenarioInput): Promise<FarSide> {
    const { bridge } = office;
    const near = bridge.addHost(`${GATEWAY}/24`);
    const far = bridge.addHost();
    const printer = bridge.addHost();
    for (const host of [far, printer]) bridge.run(host, 'ip', 'link', 'del', 'eth0');
    tie([near, 'narrow', `${NARROW.near}/30`], [far, 'narrow', `${NARROW.far}/30`]);
    tie([far, 'wide', `${FAR_GATEWAY}/24`], [printer, 'eth0', `${FAR_PRINTER}/24`]);
    for (const router of [near, far]) bridge.run(router, 'sysctl', '-qw', 'net.ipv4.ip_forward=1');
    bridge.run(near, 'ip', 'route', 'add', 'default', 'via', NARROW.far);
    bridge.run(far, 'ip', 'route', 'add', 'default', 'via', NARROW.near);
    bridge.run(printer, 'ip', 'route', 'add', 'default', 'via', FAR_GATEWAY);
    bridge.run(office.cable.host, 'ip', 'route', 'add', 'default', 'via', GATEWAY);
    await office.serve(printer, [{ kind: 'device', address: FAR_PRINTER, scenario }]);
    return new FarSide(office, near, far, printer);
  }

  /** How long a packet the link between the routers takes, and who is told when one is too long. */
  narrow(mtu: number, tooLong: TooLong): void {
    const { bridge, cable } = this.office;
    for (const router of [this.near, this.far]) {
      bridge.run(router, 'ip', 'link', 'set', 'narrow', 'mtu', String(mtu));
      bridge.run(router, 'nft', 'flush ruleset');
      if (tooLong === 'told') continue;
      const chain = 'add table inet mute; add chain inet mute out { type filter hook output priority 0; };';
      bridge.run(router, 'nft', `${chain} add rule inet mute out icmp type destination-unreachable drop`);
    }
    // What was learnt of the path before counts no more.
    for (const end of [cable.host, this.printer]) bridge.run(end, 'ip', 'route', 'flush', 'cache');
  }

  /** The near router is gone for a while; then another card has its address, and tells the link so. */
  takenOver(afterMs: number): void {
    const { bridge } = this.office;
    bridge.run(this.near, 'sysctl', '-qw', 'net.ipv4.conf.eth0.arp_notify=1');
    const lines = [
      'link set eth0 down',
      'link set eth0 address 02:00:5e:00:01:01',
      'link set eth0 up',
      `route add default via ${NARROW.far}`,
    ];
    const [down, ...up] = lines.map((line) => `ip ${line}`);
    bridge.start(this.near, '/bin/sh', ['-c', `${down}; sleep ${afterMs / 1000}; ${up.join('; ')}`]);
  }

  /** Whether the printer forbids that its packets are cut on the way. */
  mayBeCut(may: boolean): void {
    this.office.bridge.run(this.printer, 'sysctl', '-qw', `net.ipv4.ip_no_pmtu_disc=${may ? 1 : 0}`);
  }
}

type End = readonly [host: string, device: string, address: string];

function tie(a: End, b: End): void {
  const ip = (...args: readonly string[]): string => execFileSync('ip', [...args], { encoding: 'utf8' });
  ip('link', 'add', a[1], 'netns', a[0], 'type', 'veth', 'peer', 'name', b[1], 'netns', b[0]);
  for (const [host, device, address] of [a, b]) {
    ip('-n', host, 'addr', 'add', address, 'dev', device);
    ip('-n', host, 'link', 'set', device, 'up');
  }
}
