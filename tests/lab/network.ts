/**
 * A small network of namespaces for the lab, made anew by the process that runs it:
 *
 *     desk .10 ─┐                       ┌─ printer eth0 .21
 *  gateway  .1 ─┤  bridge 192.0.2.0/24  ├─ twin         (an address of its own, or the printer's)
 *   fellow .22 ─┘                       └─ server .5, .2 (switch's agent)
 *
 * and, behind the gateway, 198.51.100.0/24 with the printer's second socket eth1 (.21).
 */
import { type ChildProcess, type ExecFileSyncOptionsWithStringEncoding, execFileSync, spawn } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import type { Bend, HostName } from './scenario.js';

export const HOSTS: readonly HostName[] = ['desk', 'gateway', 'printer', 'twin', 'fellow', 'server'];
export const PLACES = {
  desk: '192.0.2.10',
  gateway: '192.0.2.1',
  printer: '192.0.2.21',
  fellow: '192.0.2.22',
  server: '192.0.2.5',
  switch: '192.0.2.2',
  far: '198.51.100.21',
} as const;
const FAR_GATEWAY = '198.51.100.1';
/** Commands that a namespace's start and end may take. */
const PATIENCE: ExecFileSyncOptionsWithStringEncoding = { encoding: 'utf8', stdio: 'pipe', timeout: 10_000 };

/** A locally administered hardware address for each host. */
const macAt = (i: number): string => `02:00:5e:10:00:0${i}`;
export const macOfHost = (host: HostName): string => macAt(HOSTS.indexOf(host));

/** How the printer and its twin stand on the network in one scenario. */
export interface Standing {
  /** Where the printer really is; on the link or, with `routed`, behind the gateway. */
  readonly printerAt: string;
  readonly printerMac: string | null;
  readonly routed: boolean;
  readonly twinAt: string | null;
}

export class LabNetwork {
  readonly #prefix: string;
  readonly #made: string[] = [];

  /** `prefix` keeps the namespaces of several networks apart. */
  constructor(prefix: string) {
    this.#prefix = prefix;
  }

  name(host: string): string {
    return `${this.#prefix}${host}`;
  }

  /** Makes the namespaces and their cables. Whatever it fails with, `remove` still clears up. */
  make(): void {
    for (const host of ['wire', ...HOSTS]) {
      execFileSync('ip', ['netns', 'add', this.name(host)], PATIENCE);
      this.#made.push(this.name(host));
    }
    this.#batch('wire', ['link set lo up', 'link add br0 type bridge', 'link set br0 up']);
    for (const [i, host] of HOSTS.entries()) {
      const socket = this.#cable(host);
      this.#ip([`link add ${socket} netns ${this.name('wire')} type veth peer name eth0 netns ${this.name(host)}`]);
      this.#batch('wire', [`link set ${socket} master br0 up`]);
      this.#batch(host, ['link set lo up', `link set eth0 address ${macAt(i)}`, 'link set eth0 up']);
    }
    this.#ip([`link add eth1 netns ${this.name('gateway')} type veth peer name eth1 netns ${this.name('printer')}`]);
    this.#sysctl('gateway', 'net.ipv4.ip_forward=1');
    // The printer tells its link of its address when told to: how two owners of one address come to light.
    this.#sysctl('printer', 'net.ipv4.conf.eth0.arp_notify=1');
    mkdirSync(`/etc/netns/${this.name('desk')}`, { recursive: true });
    this.nameServer(false);
  }

  /** Who answers the desk's questions for names: the server, or nobody. Read anew by each look-up. */
  nameServer(present: boolean): void {
    const text = present
      ? `nameserver ${PLACES.server}\noptions timeout:5 attempts:1\n`
      : 'options timeout:1 attempts:1\n';
    writeFileSync(`/etc/netns/${this.name('desk')}/resolv.conf`, text);
  }

  /** Puts everything back as it was: cables in, interfaces up, addresses and routes, no filters, an empty neighbour table. */
  reset(standing: Standing): void {
    this.#batch(
      'wire',
      HOSTS.map((host) => `link set ${this.#cable(host)} up`),
    );
    for (const host of HOSTS) this.#filters(host, 'flush ruleset\n');
    this.#plain('desk', [PLACES.desk], PLACES.gateway);
    this.#plain('gateway', [PLACES.gateway], null);
    this.#plain('fellow', [PLACES.fellow], PLACES.gateway);
    this.#plain('server', [PLACES.server, PLACES.switch], PLACES.gateway);
    this.#plain('twin', standing.twinAt === null ? [] : [standing.twinAt], PLACES.gateway);
    this.#batch('gateway', [`addr flush dev eth1`, 'link set eth1 up', `addr add ${FAR_GATEWAY}/24 dev eth1`]);
    this.#placePrinter(standing);
    this.#sysctl('printer', 'net.ipv4.conf.eth0.arp_ignore=0');
  }

  #sysctl(host: HostName, setting: string): void {
    execFileSync('ip', ['netns', 'exec', this.name(host), 'sysctl', '-qw', setting], PATIENCE);
  }

  #placePrinter({ printerAt, printerMac, routed }: Standing): void {
    const mac = printerMac === null ? [] : [`link set eth0 address ${printerMac}`];
    this.#batch('printer', [
      'addr flush dev eth0',
      'addr flush dev eth1',
      'link set eth0 down',
      'link set eth1 down',
      ...mac,
    ]);
    if (routed) {
      this.#batch('printer', [
        'link set eth1 up',
        `addr add ${printerAt}/24 dev eth1`,
        `route add default via ${FAR_GATEWAY}`,
      ]);
      return;
    }
    const length = printerAt.startsWith('169.254.') ? 16 : 24;
    const route = length === 24 ? [`route add default via ${PLACES.gateway}`] : ['route add default dev eth0'];
    this.#batch('printer', ['link set eth0 up', `addr add ${printerAt}/${length} dev eth0`, ...route]);
  }

  #plain(host: HostName, addresses: readonly string[], gateway: string | null): void {
    this.#batch(host, [
      'addr flush dev eth0',
      'link set eth0 up',
      'neigh flush all',
      ...addresses.map((address) => `addr add ${address}/24 dev eth0`),
      ...(gateway === null || addresses.length === 0 ? [] : [`route add default via ${gateway}`]),
    ]);
  }

  /**
   * The desk's neighbour table as that of a machine in use: rows of hosts that it spoke with a while ago, and none that
   * was confirmed just now.
   */
  remember(rows: readonly (readonly [address: string, mac: string])[]): void {
    this.#batch('desk', ['neigh flush all']);
    this.#batch(
      'desk',
      rows.map(([address, mac]) => `neigh replace ${address} lladdr ${mac} nud stale dev eth0`),
    );
  }

  /** Bends the network. A conflict needs more than one step in time: it is left to `defend`. */
  bend(bend: Bend): void {
    if ('cut' in bend) this.#batch('wire', [`link set ${this.#cable(bend.cut)} down`]);
    else if ('down' in bend) this.#switchOff(bend.down);
    else if ('noRoute' in bend) this.#batch('desk', ['route flush table main']);
    else if ('noGateway' in bend) this.#batch('desk', ['route del default']);
    else if ('loss' in bend) this.#lose(bend.loss.at, bend.loss.percent);
    else if ('block' in bend) this.#block(bend.block);
    else this.#hush();
  }

  #switchOff(host: HostName): void {
    this.#batch(host, ['link set eth0 down', ...(host === 'printer' ? ['link set eth1 down'] : [])]);
  }

  /** The printer keeps silent when its address is asked for, so that the twin's answer is the first. */
  #hush(): void {
    this.#sysctl('printer', 'net.ipv4.conf.eth0.arp_ignore=8');
  }

  /**
   * Once the desk has resolved the address, the printer speaks up for it, again and again, as RFC 5227 2.4 has it: an
   * announcement of address and hardware address. A process of its own, so that its times do not hang on the lab's.
   */
  defend(mac: string): ChildProcess {
    const resolved = `ip -n ${this.name('desk')} neigh show ${PLACES.printer} | grep -q REACHABLE`;
    const announce = `ip -n ${this.name('printer')} link set eth0 address ${mac}`;
    const answers = `ip netns exec ${this.name('printer')} sysctl -qw net.ipv4.conf.eth0.arp_ignore=0`;
    // The desk looks once at the start and once at the end, a second and a half later: in the middle is safest.
    const script = `until ${resolved}; do sleep 0.05; done; sleep 0.6; ${answers}; while sleep 0.1; do ${announce}; done`;
    return spawn('sh', ['-c', script], { stdio: 'ignore' });
  }

  #lose(host: HostName, percent: number): void {
    if (percent <= 0) return;
    // Half of the losses on the way in, half on the way out.
    const rule = `numgen random mod 1000 < ${Math.round(percent * 5)} drop`;
    const chain = (hook: string): string => `chain ${hook} {\n type filter hook ${hook} priority 0;\n ${rule}\n}\n`;
    this.#filters(host, `table ip loss {\n${chain('input')}${chain('output')}}\n`);
  }

  #block({ at, how, tcp, udp, icmp }: Extract<Bend, { block: unknown }>['block']): void {
    const hook = at === 'gateway' ? 'forward' : 'input';
    const verdict = VERDICTS[how];
    const everything = tcp === undefined && udp === undefined && icmp === undefined;
    const rules = [
      ...portRules('tcp', tcp, verdict),
      ...portRules('udp', udp, how === 'reset' ? 'drop' : verdict),
      ...(icmp ? ['icmp type echo-request drop'] : []),
      ...(everything ? ['meta l4proto { tcp, udp, icmp } drop'] : []),
    ];
    const chain = `chain wall {\n type filter hook ${hook} priority 0;\n ${rules.join('\n ')}\n}\n`;
    this.#filters(at, `table ip wall {\n${chain}}\n`);
  }

  #cable(host: HostName): string {
    return `to-${host}`;
  }

  #batch(host: string, lines: readonly string[]): void {
    execFileSync('ip', ['-n', this.name(host), '-force', '-batch', '-'], {
      ...PATIENCE,
      input: `${lines.join('\n')}\n`,
    });
  }

  #ip(lines: readonly string[]): void {
    execFileSync('ip', ['-batch', '-'], { ...PATIENCE, input: `${lines.join('\n')}\n` });
  }

  #filters(host: string, text: string): void {
    execFileSync('ip', ['netns', 'exec', this.name(host), 'nft', '-f', '-'], { ...PATIENCE, input: text });
  }

  /** Takes all away. May be called at any time, and twice. */
  remove(): void {
    for (const namespace of this.#made.splice(0)) {
      try {
        execFileSync('ip', ['netns', 'del', namespace], PATIENCE);
      } catch {
        // it is gone already
      }
    }
    rmSync(`/etc/netns/${this.name('desk')}`, { recursive: true, force: true });
  }
}

/** nft statements (RFC 792, RFC 1812 5.2.7.1). */
const VERDICTS = {
  drop: 'drop',
  'admin-prohibited': 'reject with icmp type admin-prohibited',
  'host-unreachable': 'reject with icmp type host-unreachable',
  'port-unreachable': 'reject with icmp type port-unreachable',
  reset: 'reject with tcp reset',
} as const;

function portRules(protocol: 'tcp' | 'udp', ports: 'all' | readonly number[] | undefined, verdict: string): string[] {
  if (ports === undefined) return [];
  return [
    ports === 'all' ? `meta l4proto ${protocol} ${verdict}` : `${protocol} dport { ${ports.join(', ')} } ${verdict}`,
  ];
}
