/** One network of the lab with its processes: runs scenarios in it, one after the other. */
import { mkdtempSync, rmSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { macOf, uuidOf } from '../../src/demo/identity.js';
import { type Peer, startPeer } from './lines.js';
import { LabNetwork, macOfHost, PLACES, type Standing } from './network.js';
import { type Outcome, outcomeOf, type Ran } from './outcome.js';
import { deviceOf, type LabScenario } from './scenario.js';
import type { ServeRequest } from './serve.js';
import { ASKED, argumentsOf, configurationOf, type Doors, JOB_FILE, serverOf, switchOf } from './world.js';

/** The ports that everybody expects. */
const PORTS = { snmp: 161, ipp: 631, raw: 9100, lpd: 515 };
const NOBODY = { snmpPort: null, ippUri: null, rawPort: null, lpdPort: null, queueUris: {} };

type Host = 'desk' | 'printer' | 'twin' | 'server';

export class Cell {
  readonly #network: LabNetwork;
  readonly #peers = new Map<Host, Promise<Peer>>();
  /** Ends what was started, ready or not: at the end of this process nothing waits for a promise. */
  readonly #ends: (() => void)[] = [];
  readonly #folder = mkdtempSync(join(tmpdir(), 'outfeed-lab-'));

  constructor(number: number) {
    this.#network = new LabNetwork(`ol${process.pid}n${number}`);
    process.on('exit', this.#atExit);
    try {
      this.#network.make();
    } catch (error) {
      this.close();
      throw error;
    }
  }

  readonly #atExit = (): void => this.close();

  /** Each host's process is started when it is first needed. */
  #peer(host: Host): Promise<Peer> {
    const known = this.#peers.get(host);
    if (known) return known;
    const started = host === 'desk' ? this.#startDesk() : this.#start(host, './serve.ts');
    this.#peers.set(host, started);
    return started;
  }

  #start(host: Host, script: string): Promise<Peer> {
    return startPeer(this.#network.name(host), script, (end) => this.#ends.push(end));
  }

  /** One run against nobody loads the whole program, so that no scenario pays for it. */
  async #startDesk(): Promise<Peer> {
    const desk = await this.#start('desk', './ask.ts');
    const argv = ['why', '127.0.0.1', '--json', '--timeout', '1000', '--retries', '0'];
    await desk.ask({ argv, cwd: this.#folder });
    return desk;
  }

  async #serve(host: Host, request: ServeRequest): Promise<readonly Doors[]> {
    // A host that has nothing to do and never had needs no process.
    const idle = request.open.length === 0 && !request.announce && !request.names;
    if (idle && !this.#peers.has(host)) return [];
    return (await this.#peer(host)).ask<readonly Doors[]>(request);
  }

  async run(scenario: LabScenario): Promise<Outcome> {
    const standing = standingOf(scenario);
    this.#network.reset(standing);
    this.#network.nameServer(scenario.named !== undefined);
    const config = join(this.#folder, 'outfeed.yaml');
    const asked = scenario.routed ? PLACES.far : PLACES.printer;
    const listening = await this.#open(scenario, standing);
    if (scenario.job !== undefined) await writeFile(join(this.#folder, JOB_FILE), scenario.job);
    await writeFile(config, configurationOf(scenario, scenario.named?.asked ?? asked, listening));
    const desk = await this.#peer('desk');
    for (const bend of scenario.network) this.#network.bend(bend);
    this.#network.remember([
      ...(['gateway', 'fellow', 'server'] as const).map((host) => [PLACES[host], macOfHost(host)] as const),
      ...(scenario.met ? [[standing.printerAt, standing.printerMac ?? ''] as const] : []),
    ]);
    const conflict = scenario.network.some((bend) => 'conflict' in bend);
    const defence = conflict ? this.#network.defend(standing.printerMac ?? '') : undefined;
    try {
      const ran = await desk.ask<Ran>({ argv: argumentsOf(scenario, config), cwd: this.#folder });
      return outcomeOf(scenario, ran);
    } finally {
      defence?.kill('SIGKILL');
    }
  }

  async #open(scenario: LabScenario, standing: Standing) {
    const device = scenario.printer === null ? null : deviceOf(scenario.printer);
    const at = standing.printerAt;
    const announcement = { address: at, name: ASKED, uuid: device ? uuidOf(device) : '', port: PORTS.ipp };
    const [printer] = await this.#serve('printer', {
      open: device === null ? [] : [{ device, at: { address: at, ports: PORTS } }],
      ...(scenario.announces ? { announce: announcement } : {}),
    });
    const twin = scenario.twin === undefined ? null : deviceOf({ name: 'twin', ...scenario.twin });
    await this.#serve('twin', {
      open:
        twin === null || standing.twinAt === null
          ? []
          : [{ device: twin, at: { address: standing.twinAt, ports: PORTS } }],
    });
    const doors = printer ?? { ...NOBODY, address: at };
    const server = serverOf(scenario, doors);
    const bridge = switchOf(scenario);
    const opened = await this.#serve('server', {
      open: [
        ...(server === null ? [] : [{ device: server, at: { address: PLACES.server, ports: PORTS } }]),
        ...(bridge === null ? [] : [{ device: bridge, at: { address: PLACES.switch, ports: PORTS } }]),
      ],
      ...(scenario.named === undefined
        ? {}
        : { names: { address: PLACES.server, answers: { [scenario.named.asked]: scenario.named.answers } } }),
    });
    return {
      printer: printer ?? null,
      server: opened.find((door) => door.address === PLACES.server) ?? { ...NOBODY, address: PLACES.server },
      switch: opened.find((door) => door.address === PLACES.switch) ?? { ...NOBODY, address: PLACES.switch },
    };
  }

  /** Ends the processes and takes the network away. May be called at any time, and twice. */
  close(): void {
    process.off('exit', this.#atExit);
    for (const end of this.#ends.splice(0)) end();
    this.#peers.clear();
    this.#network.remove();
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

function standingOf(scenario: LabScenario): Standing {
  const device = scenario.printer === null ? null : deviceOf(scenario.printer);
  const { routed, printerAt } = scenario;
  return {
    printerAt: printerAt ?? (routed ? PLACES.far : PLACES.printer),
    printerMac: device === null ? null : macOf(device),
    routed,
    twinAt: scenario.twin === undefined ? null : (scenario.twinAt ?? '192.0.2.30'),
  };
}
