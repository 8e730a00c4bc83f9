import { type ChildProcess, execFile, execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { ScenarioInput } from '../../src/demo/device.js';
import { startAvahi } from './avahi.js';
import { type Bridge, firstLine } from './namespace-bridge.js';
import { findProgram } from './peer.js';
import type { Part, Reached } from './sweep-host.js';

const HOST = fileURLToPath(new URL('./sweep-host.ts', import.meta.url));
const MAIN = fileURLToPath(new URL('../../src/main.ts', import.meta.url));
const NODE = [process.execPath, '--import', import.meta.resolve('tsx')];

/** A UUID that ends in a number. */
export const uuidAt = (last: number): string => `11111111-2222-4333-8444-${String(last).padStart(12, '0')}`;

/** A printer with nothing but what is said. */
function printer(
  name: string,
  own: Omit<Extract<ScenarioInput, { kind?: 'printer' | undefined }>, 'name'>,
): ScenarioInput {
  return { kind: 'printer', name, snmp: false, ipp: false, raw: 'closed', lpd: 'closed', ...own };
}

/** One hrDevice and Printer-MIB row more, as an agent for several printers has them. */
function secondDevice(index: number, serial: string): Record<string, string | number> {
  return {
    [`hrDeviceIndex.${index}`]: index,
    [`hrDeviceDescr.${index}`]: `Curlew port ${index}`,
    [`hrPrinterStatus.${index}`]: 3,
    [`prtGeneralConfigChanges.${index}`]: 1,
    [`prtGeneralPrinterName.${index}`]: `port-${index}`,
    [`prtGeneralSerialNumber.${index}`]: serial,
  };
}

export interface Swept {
  readonly out: string;
  readonly err: string;
}

/** Everything under way in the lab. */
export class SweepLab {
  private readonly hosts: ChildProcess[] = [];

  constructor(
    readonly bridge: Bridge,
    private readonly folder: string,
  ) {}

  /** Builds it: 192.0.2.0/24 with 25 hosts, behind its gateway 198.51.100.0/24 with two more printers. */
  async build(): Promise<void> {
    const { bridge } = this;
    const gateway = bridge.addHost('192.0.2.254/24');
    bridge.run(bridge.asker, 'ip', 'route', 'add', '198.51.100.0/24', 'via', '192.0.2.254');
    const one = (address: string, scenario: ScenarioInput, ...also: readonly Part[]): Promise<string> =>
      this.host([address], [{ kind: 'device', address, scenario }, ...also]);
    const both = printer('both-doors', { snmp: {}, ipp: {}, serial: 'BD-100216' });
    const quiet = ['192.0.2.33', '192.0.2.34', '192.0.2.14'].map((address) => bridge.addHost(`${address}/24`));
    this.wall(quiet[1] ?? '');
    this.wall(quiet[2] ?? '');
    await Promise.all([
      one('192.0.2.10', printer('snmp-only', { snmp: {} })),
      one('192.0.2.11', printer('ipp-only', { ipp: {} })),
      one('192.0.2.12', printer('raw-only', { raw: 'open' })),
      one('192.0.2.13', printer('lpd-only', { lpd: 'open' })),
      this.start(quiet[2] ?? '', [
        { kind: 'device', address: '192.0.2.14', scenario: printer('walled', { snmp: {} }) },
      ]),
      one('192.0.2.15', printer('asleep', { snmp: { delayMs: 2600 } })),
      this.host(
        ['192.0.2.16', '192.0.2.17'],
        ['192.0.2.16', '192.0.2.17'].map((address) => ({ kind: 'device', address, scenario: both })),
      ),
      one('192.0.2.18', printer('twin-a', { snmp: {}, serial: 'TW-000001' })),
      one('192.0.2.18', printer('twin-b', { snmp: {}, serial: 'TW-000002' })),
      one('192.0.2.20', {
        kind: 'spooler',
        name: 'print-server',
        queues: [
          { name: 'cellar', deviceUri: 'usb://Sandpiper/300?serial=1' },
          { name: 'loft', deviceUri: 'usb://Sandpiper/300?serial=2' },
          { name: 'porch', deviceUri: 'parallel:/dev/lp0' },
          { name: 'desk', deviceUri: 'ipp://192.0.2.11/ipp/print' },
        ],
      }),
      one(
        '192.0.2.21',
        printer('three-ports', {
          serial: 'P3-000001',
          snmp: { objects: { ...secondDevice(2, 'P3-000002'), ...secondDevice(3, 'P3-000003') } },
        }),
      ),
      one('192.0.2.30', { kind: 'other', name: 'switch', descr: 'Dunlin 24-port switch' }),
      one(
        '192.0.2.31',
        { kind: 'other', name: 'tide-store', descr: 'Dunlin file server' },
        { kind: 'ports', address: '192.0.2.31', ports: [9100, 80] },
      ),
      one('192.0.2.32', { kind: 'other', name: 'telephone', descr: 'Dunlin desk telephone' }),
      this.host(['192.0.2.35'], [{ kind: 'ports', address: '192.0.2.35', ports: [80, 443] }]),
      one('192.0.2.40', printer('odd-path', { ipp: { path: '/odd/q' } })),
      this.discoverable(),
      this.announced(),
      this.reference(),
      this.systemAgent(),
      this.selfAssigned(),
      this.behind(gateway),
    ]);
  }

  /** Runs the program itself where the asker stands. */
  sweep(...args: readonly string[]): Promise<Swept> {
    return this.sweepAs([], ...args);
  }

  /** The same through another program (`setpriv …`), or with a signal after a while. */
  sweepAs(through: readonly string[], ...args: readonly string[]): Promise<Swept> {
    const command = ['netns', 'exec', this.bridge.asker, ...through, ...NODE, MAIN, 'sweep', ...args];
    return new Promise((resolve, reject) => {
      const options = { cwd: this.folder, maxBuffer: 1 << 24, env: { ...process.env, HOME: this.folder } };
      execFile('ip', command, options, (error, out, err) => {
        if (error !== null && typeof error.code !== 'number') reject(error);
        else resolve({ out, err });
      });
    });
  }

  /** From now on every host loses five packets in a hundred, in each direction. */
  lose(): void {
    const rules = (hook: string): string =>
      `chain ${hook} { type filter hook ${hook} device eth0 priority 0; numgen random mod 100 < 5 drop; }\n`;
    for (const host of this.bridge.hosts) {
      const table = `table netdev loss {\n${rules('ingress')}${rules('egress')}}\n`;
      const file = join(this.folder, 'loss.nft');
      writeFileSync(file, table);
      this.bridge.run(host, 'nft', '-f', file);
    }
  }

  /** What has reached the made-up devices. */
  async reached(): Promise<Reached> {
    const all = await Promise.all(
      this.hosts.map(async (host) => {
        const line = nextLine(host);
        host.stdin?.write('\n');
        return JSON.parse(await line) as Reached;
      }),
    );
    const sum = (key: keyof Reached): number => all.reduce((total, one) => total + one[key], 0);
    return {
      printOctets: sum('printOctets'),
      writes: sum('writes'),
      jobs: sum('jobs'),
      snmpRequests: sum('snmpRequests'),
    };
  }

  private host(addresses: readonly string[], parts: readonly Part[]): Promise<string> {
    return this.start(this.bridge.addHost(...addresses.map((address) => `${address}/24`)), parts);
  }

  private async start(host: string, parts: readonly Part[]): Promise<string> {
    const [program = '', ...args] = NODE;
    const child = this.bridge.start(host, program, [...args, HOST, JSON.stringify(parts)]);
    await firstLine(child);
    this.hosts.push(child);
    return host;
  }

  /** A firewall that swallows everything but the packets named. */
  private wall(host: string, but = ''): void {
    const rule = `add table inet wall; add chain inet wall in { type filter hook input priority 0; policy drop; }; add rule inet wall in meta l4proto ipv6-icmp accept`;
    this.bridge.run(host, 'nft', but === '' ? rule : `${rule}; add rule inet wall in ${but} accept`);
  }

  /** A printer that nothing but WS-Discovery shows. */
  private async discoverable(): Promise<void> {
    const host = this.bridge.addHost('192.0.2.41/24');
    this.wall(host, 'udp dport 3702');
    await this.start(host, [{ kind: 'ws-discovery', uuid: uuidAt(41), types: 'y:Device q:PrintDeviceType' }]);
    // A computer answers such a probe only as what it is.
    const computer = this.bridge.addHost('192.0.2.36/24');
    await this.start(computer, [{ kind: 'ws-discovery', uuid: uuidAt(36), types: 'y:Device q:Computer' }]);
  }

  /** A printer that nothing but DNS-SD shows. */
  private async announced(): Promise<void> {
    const host = this.bridge.addHost('192.0.2.42/24');
    this.wall(host, 'udp dport 5353');
    const avahi = await startAvahi(this.bridge, host, join(this.folder, 'announced'), 'attic');
    avahi.publish('Attic 1.5', '_ipp._tcp', '631', 'rp=ipp/print', 'ty=Curlew 60', `UUID=${uuidAt(42)}`);
  }

  /** The IPP reference printer. */
  private async reference(): Promise<void> {
    const host = this.bridge.addHost('192.0.2.43/24');
    const folder = join(this.folder, 'reference');
    const { env } = await startAvahi(this.bridge, host, folder, 'reference');
    mkdirSync(join(folder, 'spool'));
    const args = ['-p', '631', '-d', join(folder, 'spool'), '-f', 'text/plain', 'reference'];
    this.bridge.start(host, findProgram('ippeveprinter') ?? '', args, env);
    await this.listening(host, 'tcp', 631);
  }

  /** The system's own SNMP agent, on a host that prints nothing. */
  private async systemAgent(): Promise<void> {
    const host = this.bridge.addHost('192.0.2.44/24');
    const folder = join(this.folder, 'agent');
    mkdirSync(folder);
    writeFileSync(join(folder, 'snmpd.conf'), 'rocommunity public\nsysDescr a computer\n');
    const files = ['-C', '-c', join(folder, 'snmpd.conf'), '-f', '-Lf', join(folder, 'log'), '-p', join(folder, 'pid')];
    this.bridge.start(host, findProgram('snmpd') ?? '', [...files, '-I', '-smux', 'udp:192.0.2.44:161'], {
      MIBS: '',
      SNMP_PERSISTENT_DIR: folder,
    });
    await this.listening(host, 'udp', 161);
  }

  /** Waits until a program of somebody else has opened its port. */
  private async listening(host: string, kind: 'tcp' | 'udp', port: number): Promise<void> {
    const hex = `:${port.toString(16).toUpperCase().padStart(4, '0')} `;
    for (let tries = 0; tries < 150; tries += 1) {
      const table = this.bridge.run(host, 'cat', `/proc/net/${kind}`, `/proc/net/${kind}6`);
      if (table.split('\n').some((line) => line.slice(0, 60).includes(hex))) return;
      await sleep(100);
    }
    throw new Error(`nobody opened ${port}/${kind} in ${host}`);
  }

  /** One device at 169.254/16, and one that has nothing but IPv6. */
  private async selfAssigned(): Promise<void> {
    const lost = this.bridge.addHost('169.254.7.7/16');
    this.bridge.run(lost, 'ip', 'route', 'add', 'default', 'dev', 'eth0');
    const avahi = await startAvahi(this.bridge, lost, join(this.folder, 'lost'), 'lost-one');
    avahi.publish('Lost one', '_ipp._tcp', '631', 'rp=ipp/print', 'ty=Curlew 60', `UUID=${uuidAt(7)}`);
    const six = this.bridge.addHost();
    this.bridge.run(six, 'ip', 'link', 'set', 'eth0', 'up');
    await this.start(six, [{ kind: 'device', address: '::', scenario: printer('six-only', { snmp: {}, ipp: {} }) }]);
    const heard = await startAvahi(this.bridge, six, join(this.folder, 'six'), 'six-only', '6');
    heard.publish('Six only', '_ipp._tcp', '631', 'rp=ipp/print', 'ty=Sandpiper 300 mono');
  }

  /** Two printers on the far side of the gateway. */
  private async behind(gateway: string): Promise<void> {
    const { bridge } = this;
    bridge.run(gateway, 'sysctl', '-qw', 'net.ipv4.ip_forward=1');
    for (const [index, scenario] of [
      printer('far-snmp', { snmp: {}, ipp: {} }),
      printer('far-raw', { raw: 'open' }),
    ].entries()) {
      const address = `198.51.100.${index * 4 + 2}`;
      const host = bridge.addHost();
      execFileSync('ip', ['-n', host, 'link', 'del', 'eth0']);
      execFileSync('ip', [
        'link',
        'add',
        `far${index}`,
        'netns',
        gateway,
        'type',
        'veth',
        'peer',
        'name',
        'eth0',
        'netns',
        host,
      ]);
      bridge.run(gateway, 'ip', 'addr', 'add', `198.51.100.${index * 4 + 1}/30`, 'dev', `far${index}`);
      bridge.run(gateway, 'ip', 'link', 'set', `far${index}`, 'up');
      bridge.run(host, 'ip', 'addr', 'add', `${address}/30`, 'dev', 'eth0');
      bridge.run(host, 'ip', 'link', 'set', 'eth0', 'up');
      bridge.run(host, 'ip', 'route', 'add', 'default', 'via', `198.51.100.${index * 4 + 1}`);
      await this.start(host, [{ kind: 'device', address, scenario }]);
    }
  }
}

function nextLine(child: ChildProcess): Promise<string> {
  if (child.stdout === null) throw new Error('the host has no output');
  const lines = createInterface({ input: child.stdout });
  return new Promise((resolve, reject) => {
    lines.once('line', (line) => {
      lines.close();
      resolve(line);
    });
    child.once('close', () => reject(new Error('the host ended')));
  });
}
