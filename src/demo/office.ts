/** The made-up office: every device of its folder on a loopback address of its own, and the configuration that describes it. */
import { stringify } from 'yaml';
import { ProgramProblem } from '../model/problem.js';
import type { PrinterScenario, Scenario, ScenarioExpect, SpoolerScenario } from './device.js';
import { loadOffice } from './load.js';
import { type RunningDevice, startDevice } from './running.js';

export interface OfficeOptions {
  /** Names of devices to start; all when absent. */
  readonly only?: readonly string[];
  readonly folder?: string;
  /** First three octets in place of 127.77.0, so that several offices can stand side by side. */
  readonly prefix?: string;
  /** 0 takes free ports: then only the configuration text knows them. */
  readonly basePorts?: { readonly snmp?: number; readonly ipp?: number; readonly raw?: number; readonly lpd?: number };
}

export interface OfficeDevice extends RunningDevice {
  readonly kind: Scenario['kind'];
  /** URIs of the queues that should lead to it. */
  readonly queues: readonly string[];
  readonly expect: ScenarioExpect | undefined;
  /** What the person on the telephone says. */
  readonly says: string | undefined;
}

export interface Office {
  readonly devices: readonly OfficeDevice[];
  /** CIDR range that holds all of it. */
  readonly range: string;
  /** A configuration file's text (YAML). */
  readonly configText: string;
  device(name: string): OfficeDevice;
  close(): Promise<void>;
}

const PREFIX = '127.77.0';
/** Above 1023, so that nobody needs root; raw printing keeps the port that everybody tries. */
export const OFFICE_PORTS = { snmp: 16161, ipp: 16310, raw: 9100, lpd: 16515 } as const;

/** Opens the office. A port or address that can't be had ends in a ProgramProblem, with everything closed again. */
export async function startOffice(options: OfficeOptions = {}): Promise<Office> {
  const prefix = options.prefix ?? PREFIX;
  const ports = { ...OFFICE_PORTS, ...options.basePorts };
  const scenarios = loadOffice(options.folder).filter(({ name }) => !options.only || options.only.includes(name));
  const running: RunningDevice[] = [];
  const close = async () => {
    await Promise.all(running.splice(0).map((device) => device.close()));
  };
  try {
    // Print servers come last: their queues name the addresses of devices that are then known.
    for (const scenario of [...scenarios].sort((a, b) => rank(a) - rank(b))) {
      const settled = scenario.kind === 'spooler' ? settleQueues(scenario, running, prefix) : scenario;
      running.push(await startDevice(settled, { address: moved(scenario.address, prefix), ports }));
    }
  } catch (error) {
    await close();
    throw explained(error);
  }
  const devices = running.map((device) => officeDevice(device, running));
  const range = `${prefix}.0/26`;
  return {
    devices,
    range,
    configText: configText(devices, range),
    device: (name) => {
      const found = devices.find((device) => device.name === name);
      if (!found) throw new Error(`no device of the office is called ${name}`);
      return found;
    },
    close,
  };
}

function rank(scenario: Scenario): number {
  return scenario.kind === 'spooler' ? 1 : 0;
}

function moved(text: string, prefix: string): string {
  return text.replaceAll(`${PREFIX}.`, `${prefix}.`);
}

function settleQueues(scenario: SpoolerScenario, running: readonly RunningDevice[], prefix: string): SpoolerScenario {
  const queues = scenario.queues.map((queue) => {
    const named = /^device:(.*)$/.exec(queue.deviceUri)?.[1];
    if (named === undefined) return { ...queue, deviceUri: moved(queue.deviceUri, prefix) };
    const device = running.find(({ name }) => name === named);
    const uri = device?.ippUri ?? (device ? `socket://${device.address}:${device.rawPort}` : 'file:///dev/null');
    return { ...queue, deviceUri: uri };
  });
  return { ...scenario, queues };
}

function officeDevice(device: RunningDevice, all: readonly RunningDevice[]): OfficeDevice {
  const { scenario } = device;
  const wanted = scenario.kind === 'printer' ? scenario.queues : [];
  const queues = all.flatMap(({ queueUris }) => wanted.flatMap((name) => queueUris[name] ?? []));
  return { ...device, kind: scenario.kind, queues, expect: scenario.expect, says: scenario.says };
}

function configText(devices: readonly OfficeDevice[], range: string): string {
  const printers = devices.flatMap((device) =>
    device.scenario.kind === 'printer' && device.scenario.configured ? [printerEntry(device, device.scenario)] : [],
  );
  return stringify({
    site: { name: 'Harbour annex', timezone: 'UTC', officeHours: 'mon-fri 08:00-18:00' },
    sweep: { ranges: [range], pace: 'brisk' },
    snmp: [{ version: '2c', community: 'public' }],
    read: { timeout: '1s', retries: 0 },
    printers,
  });
}

function printerEntry(device: OfficeDevice, scenario: PrinterScenario): Record<string, unknown> {
  const serial = scenario.configuredSerial ?? scenario.serial;
  return {
    name: device.name,
    address: device.address,
    ...(device.snmpPort === null ? {} : { snmpPort: device.snmpPort }),
    ...(device.ippUri === null ? {} : { ippUri: device.ippUri }),
    ...(device.rawPort === null || device.rawPort === 9100 ? {} : { rawPort: device.rawPort }),
    ...(device.lpdPort === null ? {} : { lpdPort: device.lpdPort }),
    ...(device.queues.length > 0 ? { queues: device.queues } : {}),
    ...(serial === undefined ? {} : { serial }),
    ...(scenario.people === undefined ? {} : { people: scenario.people }),
  };
}

/** One clear sentence for what most often stops an office from opening. */
function explained(error: unknown): unknown {
  const { code, address, port } = error as NodeJS.ErrnoException & { address?: string; port?: number };
  if (code === 'EADDRINUSE') {
    return new ProgramProblem(
      'office-port-taken',
      `Port ${port} at ${address} is taken: another demo may be running. End it, then start this one again.`,
    );
  }
  if (code === 'EADDRNOTAVAIL') {
    return new ProgramProblem(
      'office-address',
      `This system has no loopback address ${address}: the made-up office needs all of 127.0.0.0/8, as Linux and Windows have it.`,
    );
  }
  return error;
}
