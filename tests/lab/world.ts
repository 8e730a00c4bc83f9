/** What a scenario comes to once its devices listen: the configuration that describes it, and the command line. */
import { stringify } from 'yaml';
import type { ScenarioInput } from '../../src/demo/device.js';
import { macOf, serialOf, uuidOf } from '../../src/demo/identity.js';
import { deviceOf, type LabScenario } from './scenario.js';

/** Where a device listens; null where it has no such door. */
export interface Doors {
  readonly address: string;
  readonly snmpPort: number | null;
  readonly ippUri: string | null;
  readonly rawPort: number | null;
  readonly lpdPort: number | null;
  readonly queueUris: Readonly<Record<string, string>>;
}

/** Who listens where. `printer` is null when nothing stands there. */
export interface Listening {
  readonly printer: Doors | null;
  readonly server: Doors | null;
  readonly switch: Doors | null;
}

/** Name of the job file beside the configuration. */
export const JOB_FILE = 'job.prn';
/** Name of the printer in the lab's configuration. */
export const ASKED = 'front-desk';
/** The usual port of each door; the configuration names only what differs. */
const USUAL = { snmp: 161, raw: 9100, lpd: 515 };

/** The queues with their device URIs settled: the print server's scenario. */
export function serverOf(scenario: LabScenario, printer: Doors | null): ScenarioInput | null {
  if (scenario.server === false || scenario.queues.length === 0) return null;
  const queues = scenario.queues.map((queue) => ({
    name: ASKED,
    ...queue,
    deviceUri: leadsTo(String(queue.deviceUri ?? 'printer'), printer),
  }));
  return { kind: 'spooler', name: 'print-server', ...scenario.server, queues } as ScenarioInput;
}

function leadsTo(uri: string, printer: Doors | null): string {
  const address = printer?.address ?? '192.0.2.21';
  if (uri === 'printer') return printer?.ippUri ?? `socket://${address}:${printer?.rawPort ?? USUAL.raw}`;
  if (uri === 'printer:raw') return `socket://${address}:${printer?.rawPort ?? USUAL.raw}`;
  if (uri === 'printer:lpd') return `lpd://${address}:${printer?.lpdPort ?? USUAL.lpd}/lp`;
  return uri;
}

const IF = '1.3.6.1.2.1.2.2.1';
const OPER = { up: 1, down: 2, dormant: 5, notPresent: 6, lowerLayerDown: 7 };

/** A managed switch as an SNMP agent: one port of it (RFC 2863), and the bridge's own number for it (RFC 4188). */
export function switchOf(scenario: LabScenario): ScenarioInput | null {
  const { switch: seen } = scenario;
  if (!seen?.answers) return null;
  const index = seen.interface ?? seen.port;
  const mac = scenario.printer === null ? null : macOf(deviceOf(scenario.printer));
  const arcs = mac?.split(':').map((octet) => Number.parseInt(octet, 16));
  return {
    kind: 'other',
    name: 'switch',
    descr: 'Managed switch, 24 ports',
    snmp: {
      objects: {
        [`1.3.6.1.2.1.17.1.4.1.2.${seen.port}`]: { type: 'Integer', value: index },
        [`${IF}.7.${index}`]: { type: 'Integer', value: 1 },
        [`${IF}.8.${index}`]: { type: 'Integer', value: OPER[seen.link] },
        [`${IF}.9.${index}`]: { type: 'TimeTicks', value: 4_000 },
        [`${IF}.14.${index}`]: { type: 'Counter32', value: seen.errors, perSecond: seen.errorsPerSecond },
        [`${IF}.20.${index}`]: { type: 'Counter32', value: 0 },
        ...(arcs && seen.link === 'up'
          ? { [`1.3.6.1.2.1.17.4.3.1.2.${arcs.join('.')}`]: { type: 'Integer', value: seen.port } }
          : {}),
      },
    },
  };
}

/** The configuration file of the scenario. `address` is what it says of the printer's place. */
export function configurationOf(scenario: LabScenario, address: string, at: Listening): string {
  const { known } = scenario;
  return stringify({
    snmp: known.snmp ?? [{ version: '2c', community: 'public' }],
    read: known.read ?? { timeout: scenario.named === undefined ? '1s' : '2s', retries: 1 },
    printers: [
      {
        name: ASKED,
        address,
        ...doorsOf(scenario, at.printer),
        ...identityOf(scenario),
        ...queuesOf(scenario, at.server),
        ...switchKeys(scenario, at.switch),
        ...(known.deviceIndex === undefined ? {} : { deviceIndex: known.deviceIndex }),
        ...known.more,
      },
    ],
  });
}

function doorsOf(scenario: LabScenario, printer: Doors | null): Record<string, unknown> {
  const { rawPort, lpdPort, ippPath } = scenario.known;
  const raw = rawPort ?? printer?.rawPort ?? USUAL.raw;
  const lpd = lpdPort ?? printer?.lpdPort ?? USUAL.lpd;
  const ipp = printer?.ippUri ?? null;
  const uri = ipp !== null && ippPath !== undefined ? ipp.replace(/(:\/\/[^/]+).*/, `$1${ippPath}`) : ipp;
  // A printer on the usual ports needs no word about them; that IPP is found without being told is part of the test.
  const told = uri !== null && (ippPath !== undefined || !/:631\/ipp\/print$/.test(uri));
  return {
    ...(printer?.snmpPort == null || printer.snmpPort === USUAL.snmp ? {} : { snmpPort: printer.snmpPort }),
    ...(told ? { ippUri: uri } : {}),
    ...(raw === USUAL.raw ? {} : { rawPort: raw }),
    ...(lpd === USUAL.lpd ? {} : { lpdPort: lpd }),
  };
}

function identityOf({ known, printer }: LabScenario): Record<string, unknown> {
  const device = printer === null ? { name: ASKED } : deviceOf(printer);
  const own = { serial: serialOf(device), uuid: uuidOf(device), mac: macOf(device) };
  const told = (key: keyof typeof own) => (known[key] === 'own' ? own[key] : known[key]);
  return Object.fromEntries(
    (['serial', 'uuid', 'mac'] as const).flatMap((key) => {
      const value = told(key);
      return value === undefined ? [] : [[key, value]];
    }),
  );
}

function queuesOf(scenario: LabScenario, server: Doors | null): Record<string, unknown> {
  const named = scenario.known.queues ?? scenario.queues.map((queue) => String(queue.name ?? ASKED));
  if (named.length === 0) return {};
  const base = Object.values(server?.queueUris ?? {})[0]?.replace(/[^/]+$/, '');
  const at = base ?? `ipp://${server?.address ?? '192.0.2.5'}:631/printers/`;
  return { queues: named.map((name) => at + encodeURIComponent(name)) };
}

function switchKeys({ switch: seen }: LabScenario, at: Doors | null): Record<string, unknown> {
  if (seen === undefined) return {};
  const snmpPort = at?.snmpPort ?? USUAL.snmp;
  const port = snmpPort === USUAL.snmp ? {} : { snmpPort };
  return { switch: { address: at?.address ?? '192.0.2.2', port: seen.port, ...port } };
}

/** Arguments of the program for a scenario. */
export function argumentsOf(scenario: LabScenario, config: string): string[] {
  const answers = Object.entries(scenario.answers).flatMap(([check, outcome]) => ['--answer', `${check}=${outcome}`]);
  const job = scenario.job === undefined ? [] : ['--file', JOB_FILE];
  return ['why', ASKED, '--json', '--config', config, ...job, ...scenario.options, ...answers];
}
