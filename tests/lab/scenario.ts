/** One scenario of the lab as data: what stands there, how the network is bent, what is known, what must be said. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import * as z from 'zod';
import { Scenario as Device } from '../../src/demo/device.js';

const HOST = z.enum(['desk', 'gateway', 'printer', 'twin', 'fellow', 'server']);
export type HostName = z.infer<typeof HOST>;

const Ports = z.union([z.literal('all'), z.array(z.number().int())]);

/** A packet filter at a host, for what comes in. Without ports it takes everything. */
const Block = z.strictObject({
  at: HOST,
  how: z.enum(['drop', 'admin-prohibited', 'host-unreachable', 'port-unreachable', 'reset']),
  tcp: Ports.optional(),
  udp: Ports.optional(),
  icmp: z.boolean().optional(),
});

/** One thing done to the network. */
const Bend = z.union([
  /** The cable is out: the host sees no carrier. */
  z.strictObject({ cut: HOST }),
  /** The host's own interface is switched off. */
  z.strictObject({ down: HOST }),
  /** The asking machine loses its way to everything but itself. */
  z.strictObject({ noRoute: z.literal(true) }),
  /** The asking machine has no default gateway. */
  z.strictObject({ noGateway: z.literal(true) }),
  z.strictObject({ block: Block }),
  /** Percent of packets lost at a host, in and out together. */
  z.strictObject({ loss: z.strictObject({ at: HOST, percent: z.number() }) }),
  /** The twin has the printer's address too; the printer speaks up for its own a little later. */
  z.strictObject({ conflict: z.literal(true) }),
]);
export type Bend = z.output<typeof Bend>;

const Switch = z.strictObject({
  port: z.number().int().default(14),
  link: z.enum(['up', 'down', 'notPresent', 'lowerLayerDown', 'dormant']).default('up'),
  /** Errors counted on the port, and by how many a second they climb. */
  errors: z.number().int().default(0),
  errorsPerSecond: z.number().default(0),
  /** False: the switch is configured and does not answer. */
  answers: z.boolean().default(true),
  /** The bridge numbers its ports other than its interfaces (RFC 4188 dot1dBasePortIfIndex). */
  interface: z.number().int().optional(),
});

const Expect = z.strictObject({
  layer: z.string(),
  cause: z.string(),
  /** Causes that must stand beside the verdict: these and no others, in any order. */
  others: z.array(z.string()).default([]),
  /** Causes that must be among the warnings. */
  warnings: z.array(z.string()).default([]),
  component: z.string().optional(),
  certainty: z.enum(['sure', 'likely', 'possible']).optional(),
  silent: z.boolean().nullable().optional(),
  exit: z.number().int().optional(),
});

const LabScenario = z.strictObject({
  name: z.string(),
  kind: z.enum(['single', 'double', 'healthy', 'contradiction']),
  /** Why the expectation is what it is, where an expert could think twice. */
  because: z.string().optional(),
  /** The printer, in the form of the made-up office; null: nothing is there. */
  printer: z.record(z.string(), z.unknown()).nullable().default({}),
  /** Another host: it has the printer's address in a conflict, else an address of its own. */
  twin: z.record(z.string(), z.unknown()).optional(),
  twinAt: z.string().optional(),
  /** Queues of the print server; `printer`, `printer:raw` and `printer:lpd` as deviceUri lead to the printer. */
  queues: z.array(z.record(z.string(), z.unknown())).default([]),
  /** What the print server is like otherwise; false: it is configured and nobody is there. */
  server: z.union([z.literal(false), z.record(z.string(), z.unknown())]).default({}),
  switch: Switch.optional(),
  /** Behind the gateway rather than on the link. */
  routed: z.boolean().default(false),
  /** Where the printer really is, when it is not where the configuration says. */
  printerAt: z.string().optional(),
  /** The printer announces itself by DNS-SD. */
  announces: z.boolean().default(false),
  /** The desk has spoken with the printer at that place before. */
  met: z.boolean().default(false),
  /** The configuration knows the printer by a name; what the name server says of it. */
  named: z
    .strictObject({
      asked: z.string().default('front-desk.example'),
      answers: z.union([z.array(z.string()), z.enum(['unknown', 'silent', 'broken'])]),
    })
    .optional(),
  network: z.array(Bend).default([]),
  /** What the configuration knows of the device; `own` is the device's own. */
  known: z
    .strictObject({
      serial: z.string().optional(),
      uuid: z.string().optional(),
      mac: z.string().optional(),
      deviceIndex: z.number().int().optional(),
      read: z.strictObject({ timeout: z.string(), retries: z.number().int() }).optional(),
      snmp: z.array(z.record(z.string(), z.unknown())).optional(),
      /** Queues that the configuration names although the print server has none of that name. */
      queues: z.array(z.string()).optional(),
      lpdPort: z.number().int().optional(),
      rawPort: z.number().int().optional(),
      ippPath: z.string().optional(),
      /** Printer keys of the configuration put in as they are. */
      more: z.record(z.string(), z.unknown()).optional(),
    })
    .default({}),
  options: z.array(z.string()).default([]),
  answers: z.record(z.string(), z.string()).default({}),
  /** Content of the job file that is compared with what the printer reads (`--file`). */
  job: z.string().optional(),
  expect: Expect,
});
export type LabScenario = z.output<typeof LabScenario>;

/** The device that stands there, with the lab's usual name. */
export function deviceOf(written: Readonly<Record<string, unknown>>): Device {
  return Device.parse({ name: 'front-desk', ...written });
}

/** True when the scenario needs a network of its own rather than loopback. */
export function needsNamespaces(scenario: LabScenario): boolean {
  const { network, routed, printerAt, announces, named, twin } = scenario;
  return network.length > 0 || routed || printerAt !== undefined || announces || named !== undefined || !!twin;
}

const FOLDER = fileURLToPath(new URL('./scenarios/', import.meta.url));

/** All scenarios, file by file. Throws with file and name for one that is not of the form, or a name used twice. */
export function loadScenarios(): LabScenario[] {
  const all = readdirSync(FOLDER)
    .filter((file) => file.endsWith('.yaml'))
    .sort()
    .flatMap((file) => (parse(readFileSync(join(FOLDER, file), 'utf8')) as unknown[]).map((one) => read(one, file)));
  const names = all.map(({ name }) => name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw new Error(`two scenarios are called ${twice}`);
  return all;
}

function read(written: unknown, file: string): LabScenario {
  const name = (written as { name?: string } | null)?.name ?? 'without a name';
  const result = LabScenario.safeParse(written);
  if (!result.success) throw new Error(`${file}, ${name}: ${z.prettifyError(result.error)}`);
  if (result.data.printer !== null) {
    const device = Device.safeParse({ name: 'front-desk', ...result.data.printer });
    if (!device.success) throw new Error(`${file}, ${name}: printer: ${z.prettifyError(device.error)}`);
  }
  return result.data;
}
