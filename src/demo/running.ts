/** One made-up device with its sockets open. */
import { performance } from 'node:perf_hooks';
import {
  type OtherScenario,
  type PrinterScenario,
  Scenario,
  type ScenarioInput,
  type SpoolerScenario,
} from './device.js';
import { type IppPeer, startIppHttp } from './ipp-http.js';
import { startIppServer } from './ipp-server.js';
import { startLpdListener } from './lpd-listener.js';
import { closedPort, startRawListener } from './raw-listener.js';
import { startSnmpAgent } from './snmp-agent.js';
import { snmpTree } from './snmp-tree.js';
import { startSpooler } from './spooler.js';

/** Where to listen. A port of 0 or none takes a free one. */
export interface DeviceAt {
  readonly address?: string;
  readonly ports?: { readonly snmp?: number; readonly ipp?: number; readonly raw?: number; readonly lpd?: number };
}

/** What reached a device that should only ever be read. */
export interface Received {
  readonly snmpRequests: number;
  readonly snmpWrites: number;
  readonly rawConnections: number;
  readonly rawOctets: number;
  readonly lpdOctets: number;
  readonly ippJobs: number;
  readonly ippIdentified: number;
}

export interface RunningDevice {
  readonly scenario: Scenario;
  readonly name: string;
  readonly address: string;
  /** Null: no SNMP here. */
  readonly snmpPort: number | null;
  /** Port of its IPP or web server. */
  readonly ippPort: number | null;
  readonly ippUri: string | null;
  readonly rawPort: number | null;
  readonly lpdPort: number | null;
  /** TCP ports that carry print data, a refusing one included. */
  readonly printPorts: readonly number[];
  /** Queue URIs by name: a print server's only. */
  readonly queueUris: Readonly<Record<string, string>>;
  readonly received: () => Received;
  readonly close: () => Promise<void>;
}

/** Starts one device, by default on 127.0.0.1 with free ports. Rejects when an address or port can't be had; nothing stays open then. */
export async function startDevice(input: ScenarioInput, at: DeviceAt = {}): Promise<RunningDevice> {
  const scenario = Scenario.parse(input);
  const address = at.address ?? '127.0.0.1';
  const opened = new Opened();
  try {
    const ports = await openAll(scenario, address, at.ports ?? {}, opened);
    return {
      scenario,
      name: scenario.name,
      address,
      ...ports,
      received: () => opened.received(),
      close: () => opened.close(),
    };
  } catch (error) {
    await opened.close();
    throw error;
  }
}

interface Closable {
  readonly close: () => Promise<void>;
}

/** The listeners of one device, and what they have counted. */
class Opened {
  readonly #listeners: Closable[] = [];
  readonly #counts: (() => Partial<Received>)[] = [];

  add<T extends Closable>(listener: T, count: (listener: T) => Partial<Received> = () => ({})): T {
    this.#listeners.push(listener);
    this.#counts.push(() => count(listener));
    return listener;
  }

  received(): Received {
    const none = { snmpRequests: 0, snmpWrites: 0, rawConnections: 0, rawOctets: 0, lpdOctets: 0, ippJobs: 0 };
    return Object.assign(none, ...this.#counts.map((count) => count()));
  }

  async close(): Promise<void> {
    await Promise.all(this.#listeners.splice(0).map((listener) => listener.close()));
  }
}

type Ports = Pick<
  RunningDevice,
  'snmpPort' | 'ippPort' | 'ippUri' | 'rawPort' | 'lpdPort' | 'printPorts' | 'queueUris'
>;
type Asked = NonNullable<DeviceAt['ports']>;

const NO_PORTS: Ports = {
  snmpPort: null,
  ippPort: null,
  ippUri: null,
  rawPort: null,
  lpdPort: null,
  printPorts: [],
  queueUris: {},
};

async function openAll(scenario: Scenario, address: string, asked: Asked, opened: Opened): Promise<Ports> {
  if (scenario.kind === 'spooler') return openSpooler(scenario, address, asked, opened);
  if (scenario.kind === 'other') return openOther(scenario, address, asked, opened);
  return openPrinter(scenario, address, asked, opened);
}

async function openSnmp(
  scenario: PrinterScenario | OtherScenario,
  address: string,
  asked: Asked,
  opened: Opened,
): Promise<number | null> {
  if (!scenario.snmp) return null;
  const started = performance.now();
  const ticks = () => scenario.upSeconds * 100 + Math.floor((performance.now() - started) / 10);
  const tree = snmpTree(scenario, scenario.snmp, ticks);
  const agent = await startSnmpAgent(tree, scenario.snmp, { address, port: asked.snmp ?? 0 });
  opened.add(agent, () => ({ snmpRequests: agent.requests(), snmpWrites: agent.writes() }));
  return agent.port;
}

async function openPrinter(scenario: PrinterScenario, address: string, asked: Asked, opened: Opened): Promise<Ports> {
  const snmpPort = await openSnmp(scenario, address, asked, opened);
  const ippPort = await openIpp(scenario, address, asked, opened);
  const rawPort = await openRaw(scenario, address, asked, opened);
  const lpdPort = await openLpd(scenario, address, asked, opened);
  const scheme = scenario.ipp && scenario.ipp.tls !== 'none' ? 'ipps' : 'ipp';
  const ippUri = scenario.ipp && ippPort !== null ? `${scheme}://${address}:${ippPort}${scenario.ipp.path}` : null;
  const printPorts = [ippPort, rawPort, lpdPort].filter((port) => port !== null);
  return { ...NO_PORTS, snmpPort, ippPort, ippUri, rawPort, lpdPort, printPorts };
}

async function openIpp(
  scenario: PrinterScenario,
  address: string,
  asked: Asked,
  opened: Opened,
): Promise<number | null> {
  if (!scenario.ipp) return null;
  const started = performance.now();
  const up = () => scenario.upSeconds + Math.floor((performance.now() - started) / 1000);
  const server = await startIppServer(scenario, scenario.ipp, { address, port: asked.ipp ?? 0 }, up);
  opened.add(server, () => ({ ippJobs: server.jobs(), ippIdentified: server.identified() }));
  return server.port;
}

async function openRaw(
  scenario: PrinterScenario,
  address: string,
  asked: Asked,
  opened: Opened,
): Promise<number | null> {
  if (scenario.raw === 'closed') return null;
  if (scenario.raw === 'busy') return asked.raw || closedPort(address);
  const listener = await startRawListener({ address, port: asked.raw ?? 0 });
  opened.add(listener, () => ({ rawConnections: listener.connections(), rawOctets: listener.octets() }));
  return listener.port;
}

async function openLpd(
  scenario: PrinterScenario,
  address: string,
  asked: Asked,
  opened: Opened,
): Promise<number | null> {
  if (scenario.lpd === 'closed') return null;
  const listener = await startLpdListener(`${scenario.name} is ready`, { address, port: asked.lpd ?? 0 });
  opened.add(listener, () => ({ lpdOctets: listener.octets() }));
  return listener.port;
}

async function openOther(scenario: OtherScenario, address: string, asked: Asked, opened: Opened): Promise<Ports> {
  const snmpPort = await openSnmp(scenario, address, asked, opened);
  if (scenario.web === undefined) return { ...NO_PORTS, snmpPort };
  const peer: IppPeer = {
    title: scenario.web,
    settings: { tls: 'none', versions: [], delayMs: 0 },
    answer: () => undefined,
  };
  const server = opened.add(await startIppHttp(peer, { address, port: asked.ipp ?? 0 }));
  return { ...NO_PORTS, snmpPort, ippPort: server.port };
}

async function openSpooler(scenario: SpoolerScenario, address: string, asked: Asked, opened: Opened): Promise<Ports> {
  const now = () => Math.floor(Date.now() / 1000);
  const server = await startSpooler(scenario, { address, port: asked.ipp ?? 0 }, now);
  opened.add(server, () => ({ ippJobs: server.jobs() }));
  const base = `ipp://${address}:${server.port}/printers/`;
  const queueUris = Object.fromEntries(scenario.queues.map(({ name }) => [name, base + encodeURIComponent(name)]));
  return { ...NO_PORTS, ippPort: server.port, queueUris };
}
