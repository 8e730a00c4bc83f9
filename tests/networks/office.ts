import { randomUUID } from 'node:crypto';
import { mkdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ScenarioInput } from '../../src/demo/device.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { WhyDocument } from '../../src/model/why.js';
import { type Peer, startPeer } from '../lab/lines.js';
import type { Ran } from '../lab/outcome.js';
import { type Bridge, firstLine, makeBridge } from '../peers/namespace-bridge.js';
import type { Part } from '../peers/sweep-host.js';
import { BadCable } from './bad-cable.js';

const HOST = fileURLToPath(new URL('../peers/sweep-host.ts', import.meta.url));
const TSX = ['--import', import.meta.resolve('tsx')];

/** What a command gave, and how long it took, the start of the runtime left out. */
export interface Answer<T> {
  readonly document: T;
  readonly code: number;
  readonly complaints: string;
  readonly ms: number;
}

/**
 * An office on 192.0.2.0/24 with a machine that asks, 192.0.2.10, behind a bad cable. What else stands there, each test
 * file says.
 */
export class Office {
  readonly bridge: Bridge;
  /** Made when the office opens. */
  readonly folder = join(tmpdir(), `outfeed-networks-${randomUUID()}`);
  private readonly ends: (() => void)[] = [];
  private cableOfDesk: BadCable | undefined;
  private peer: Peer | undefined;

  constructor() {
    this.bridge = makeBridge();
  }

  get cable(): BadCable {
    if (this.cableOfDesk === undefined) throw new Error('the office is not open yet');
    return this.cableOfDesk;
  }

  /** Puts the machine that asks on its cable and loads the program there, so that no question pays for it. */
  async open(seed: number): Promise<void> {
    mkdirSync(this.folder, { recursive: true });
    this.cableOfDesk = await BadCable.addHost(this.bridge, seed, '192.0.2.10/24');
    this.peer = await startPeer(this.cable.host, './ask.ts', (end) => this.ends.push(end));
    await this.ask(['why', '127.0.0.1', '--json', '--timeout', '500', '--retries', '0']);
  }

  /** A host on a good cable of its own, with what it serves. Gives its namespace. */
  async host(addresses: readonly string[], parts: readonly Part[]): Promise<string> {
    const host = this.bridge.addHost(...addresses);
    await this.serve(host, parts);
    return host;
  }

  /** Serves in a namespace that is there, and waits until everything listens. */
  async serve(namespace: string, parts: readonly Part[]): Promise<void> {
    const child = this.bridge.start(namespace, process.execPath, [...TSX, HOST, JSON.stringify(parts)]);
    await firstLine(child);
  }

  /** One made-up device at one address of the office. */
  device(address: string, scenario: ScenarioInput): Promise<string> {
    return this.host([`${address}/24`], [{ kind: 'device', address, scenario }]);
  }

  async sweep(...args: readonly string[]): Promise<Answer<SweepDocument>> {
    return this.ask(['sweep', '--json', ...args]);
  }

  async why(target: string, ...args: readonly string[]): Promise<Answer<WhyDocument>> {
    return this.ask(['why', target, '--json', ...args]);
  }

  private async ask<T>(argv: readonly string[]): Promise<Answer<T>> {
    if (this.peer === undefined) throw new Error('the office is not open yet');
    const { code, out, err, ms } = await this.peer.ask<Ran>({ argv, cwd: this.folder });
    if (!out.startsWith('{')) throw new Error(`no document: exit ${code}, ${err.trim()}`);
    return { document: JSON.parse(out) as T, code, complaints: err, ms: Math.round(ms) };
  }

  close(): void {
    for (const end of this.ends.splice(0)) end();
    this.bridge.close();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
