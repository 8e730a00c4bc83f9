import type { ChildProcess } from 'node:child_process';
import { createInterface, type Interface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Bridge } from '../peers/namespace-bridge.js';
import { findProgram } from '../peers/peer.js';

const PROGRAM = fileURLToPath(new URL('./bad_cable.py', import.meta.url));

/** What a network of bad cables needs of the machine. */
export const CABLE_NEEDS = ['namespaces', 'python3', 'nft', 'sysctl'] as const;

/** How a cable spoils what it carries; what is absent is well. `bad_cable.py` says what each word means. */
export interface Spoiled {
  readonly loss?: number;
  readonly delayMs?: number;
  readonly reorder?: number;
  readonly heldMs?: number;
  readonly duplicate?: number;
  readonly mtu?: number;
  readonly mutedMacs?: readonly string[];
  readonly tarpits?: readonly string[];
  readonly proxyMac?: string;
}

/** Frames since the last change. */
export interface Carried {
  readonly carried: number;
  readonly lost: number;
  readonly late: number;
  readonly doubled: number;
  readonly tooLong: number;
}

/** The cable of one host of a bridge. */
export class BadCable {
  private constructor(
    readonly host: string,
    private readonly child: ChildProcess,
    private readonly lines: Interface,
  ) {}

  /**
   * Adds a host whose cable to the bridge is a bad one, well to begin with. Near is the host, far the bridge. Everything
   * ends with the bridge.
   */
  static async addHost(bridge: Bridge, seed: number, ...addresses: readonly string[]): Promise<BadCable> {
    const host = bridge.addHost();
    bridge.run(host, 'ip', 'link', 'del', 'eth0');
    const far = `far${bridge.hosts.length}`;
    const python = findProgram('python3') ?? 'python3';
    const child = bridge.start(host, python, [PROGRAM, 'eth0', far, String(seed)]);
    const cable = new BadCable(host, child, createInterface({ input: child.stdout as NodeJS.ReadableStream }));
    await cable.nextLine();
    bridge.run(host, 'ip', 'link', 'set', far, 'netns', bridge.asker);
    bridge.run(bridge.asker, 'ip', 'link', 'set', far, 'master', 'br0', 'up');
    for (const address of addresses) bridge.run(host, 'ip', 'addr', 'add', address, 'dev', 'eth0');
    bridge.run(host, 'ip', 'link', 'set', 'eth0', 'up');
    return cable;
  }

  /** From now on it is like this. Gives what it carried until now. */
  async spoil(how: Spoiled): Promise<Carried> {
    const line = this.nextLine();
    this.child.stdin?.write(`${JSON.stringify(how)}\n`);
    return JSON.parse(await line) as Carried;
  }

  private nextLine(): Promise<string> {
    return new Promise((resolve, reject) => {
      this.lines.once('line', resolve);
      this.lines.once('close', () => reject(new Error('the cable ended')));
    });
  }
}
