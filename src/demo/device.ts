/**
 * One made-up device as data: what it is, what state it is in, how it answers, and what `why` should make of it.
 * Words are the standards' (RFC 3805, RFC 2790, RFC 8011), so that a file reads like the answers it leads to.
 */
import { z } from 'zod';
import { writtenIpp } from './ipp-value.js';

const Blame = z.strictObject({ layer: z.string(), cause: z.string() });

/** What a run of `why` is expected to find: the tests' yardstick. */
const Expect = z.strictObject({
  layer: z.string(),
  cause: z.string(),
  severity: z.enum(['fault', 'warning']).default('fault'),
  component: z.string().optional(),
  /** Faults that stand on their own further up. */
  others: z.array(Blame).default([]),
  /** Things to mention that stop nothing. */
  warnings: z.array(Blame).default([]),
});

const Tray = z.strictObject({
  name: z.string(),
  type: z.string().default('sheetFeedAutoRemovableTray'),
  capacity: z.number().int().default(250),
  level: z.number().int().default(-3),
  unit: z.string().default('sheets'),
  media: z.string().default('iso_a4_210x297mm'),
  /** PrtSubUnitStatusTC; worked out from the alerts when absent. */
  status: z.number().int().optional(),
});

const Output = z.strictObject({
  name: z.string(),
  type: z.string().default('unRemovableBin'),
  capacity: z.number().int().default(150),
  /** Room left, as prtOutputRemainingCapacity counts it: 0 is full. */
  level: z.number().int().default(-3),
  status: z.number().int().optional(),
});

const Supply = z.strictObject({
  name: z.string().optional(),
  type: z.string().default('toner'),
  class: z.enum(['supplyThatIsConsumed', 'receptacleThatIsFilled', 'other']).default('supplyThatIsConsumed'),
  colour: z.string().optional(),
  unit: z.string().default('impressions'),
  capacity: z.number().int().default(100),
  /** For a receptacle the room left: 0 is full (RFC 3805 prtMarkerSuppliesLevel). */
  level: z.number().int().default(-3),
});

const Cover = z.strictObject({ name: z.string(), state: z.string().default('coverClosed') });

const Alert = z.strictObject({
  severity: z.string().default('critical'),
  group: z.string(),
  /** Row of the table that `group` points to. */
  index: z.number().int().default(1),
  /** A label of PrtAlertCodeTC or its number. */
  code: z.union([z.string(), z.number().int()]),
  training: z.string().default('untrained'),
  location: z.number().int().default(-2),
  description: z.string().default(''),
  /** prtAlertIndex, counted from 1 when absent. */
  row: z.number().int().optional(),
  ticks: z.number().int().default(8_640_000),
});

const Scalar = z.union([z.number(), z.string(), z.boolean()]);

/** An SNMP object put in by hand: `{ type: OctetString, hex: "c0" }`, or a bare value for an object of the registry. */
const SnmpOverride = z.union([
  z.number(),
  z.string(),
  z.null(),
  z.strictObject({
    type: z.string().optional(),
    value: z.union([z.number(), z.string()]).optional(),
    hex: z.string().optional(),
    /** A counter that climbs from `value` by this much a second. */
    perSecond: z.number().optional(),
  }),
]);

const Snmp = z.strictObject({
  community: z.string().default('public'),
  versions: z.array(z.enum(['1', '2c'])).default(['1', '2c']),
  deviceIndex: z.number().int().default(1),
  /** hrPrinterStatus; from the state when absent. */
  printer: z.enum(['other', 'unknown', 'idle', 'printing', 'warmup']).optional(),
  /** hrDeviceStatus; from the alerts when absent. */
  device: z.enum(['unknown', 'running', 'warning', 'testing', 'down']).optional(),
  /** Names of hrPrinterDetectedErrorState bits; from the alerts when absent. */
  errorBits: z.array(z.string()).optional(),
  /** `prtMarkerLifeCount.1.1` or a dotted OID → value; null takes the object away. */
  objects: z.record(z.string(), SnmpOverride).default({}),
  /** OIDs or object names whose subtree is left out. */
  omit: z.array(z.string()).default([]),
  /** Most varbinds that a GETBULK gives, as some agents cap it. */
  bulkCap: z.number().int().positive().optional(),
  maxBytes: z.number().int().positive().default(1472),
  delayMs: z.number().int().nonnegative().default(0),
  /** `silent`: nothing. `garbage`: octets that are no message. `repeat`: GETNEXT gives the OID asked for. `cut`: half a message. */
  fault: z.enum(['silent', 'garbage', 'repeat', 'cut']).optional(),
});

/** An IPP attribute put in by hand; null takes it away. A bare value keeps the tag that the attribute had. */
const IppOverride = z.union([Scalar, z.array(Scalar), z.null(), writtenIpp]);

const IppFault = z.strictObject({
  /** HTTP status in place of an IPP reply, with an HTML body as real ones have. */
  httpStatus: z.number().int().optional(),
  /** What comes under HTTP 200 in place of a sound reply. */
  body: z.enum(['garbage', 'empty', 'html', 'cut', 'endless']).optional(),
  /** `reset` breaks the connection, `silent` takes the request and never answers. */
  transport: z.enum(['reset', 'silent']).optional(),
  /** IPP status keyword in place of the sound one, with no attributes. */
  status: z.string().optional(),
  /** Only these operations are struck (`Validate-Job` …); all when absent. */
  operations: z.array(z.string()).optional(),
});

const Ipp = z.strictObject({
  state: z.enum(['idle', 'processing', 'stopped']).optional(),
  /** printer-state-reasons; from the alerts when absent. */
  reasons: z.array(z.string()).optional(),
  message: z.string().default(''),
  accepting: z.boolean().default(true),
  path: z.string().default('/ipp/print'),
  versions: z.array(z.string()).default(['1.1', '2.0']),
  formats: z
    .array(z.string())
    .default(['application/octet-stream', 'application/pdf', 'image/pwg-raster', 'image/urf']),
  tls: z.enum(['none', 'self-signed', 'expired']).default('none'),
  /** Users for whom Validate-Job and Print-Job answer client-error-not-authorized. */
  deniedUsers: z.array(z.string()).default([]),
  delayMs: z.number().int().nonnegative().default(0),
  attributes: z.record(z.string(), IppOverride).default({}),
  /** Nothing is made up beside `attributes`, but for where the printer is reached. */
  exact: z.boolean().default(false),
  fault: IppFault.optional(),
});

const Common = {
  name: z.string(),
  /** What it calls itself over SNMP and IPP, where that is not its name here. */
  callsItself: z.string().optional(),
  address: z.string().default('127.77.0.1'),
  /** What the person on the telephone says; the demo tells it. */
  says: z.string().optional(),
  model: z.string().default('Sandpiper 300 mono'),
  /** Made of the name when absent, so that no two devices share one. */
  serial: z.string().optional(),
  location: z.string().default(''),
  contact: z.string().default('Harbour annex, extension 12'),
  mac: z.string().optional(),
  upSeconds: z.number().int().nonnegative().default(864_000),
  expect: Expect.optional(),
};

const PrinterScenario = z.strictObject({
  kind: z.literal('printer').default('printer'),
  ...Common,
  /** Serial number that the configuration expects here, where it is not the device's own. */
  configuredSerial: z.string().optional(),
  uuid: z.string().optional(),
  firmware: z.string().default('4.1.7'),
  technology: z.string().default('electrophotographicLaser'),
  colour: z.boolean().default(false),
  state: z.enum(['idle', 'printing', 'asleep', 'warmup', 'paused', 'stopped']).default('idle'),
  trays: z.array(Tray).default([{ ...Tray.parse({ name: 'Tray 1', level: 180 }) }]),
  outputs: z.array(Output).default([{ ...Output.parse({ name: 'Standard bin', level: 120 }) }]),
  supplies: z
    .array(Supply)
    .default([Supply.parse({ type: 'tonerCartridge', colour: 'black', capacity: 6000, level: 4200 })]),
  covers: z.array(Cover).default([{ name: 'Front cover', state: 'coverClosed' }]),
  alerts: z.array(Alert).default([]),
  console: z.array(z.string()).optional(),
  lifePages: z.number().int().default(48_211),
  powerOnPages: z.number().int().default(312),
  counterUnit: z.string().default('impressions'),
  languages: z.array(z.string()).default(['langPCL', 'langPS', 'langPDF']),
  snmp: z.union([z.literal(false), Snmp]).default(Snmp.parse({})),
  ipp: z.union([z.literal(false), Ipp]).default(Ipp.parse({})),
  /** `open` takes connections. `busy`: its one connection is taken and the next call is refused. `closed`: there is none. */
  raw: z.enum(['open', 'busy', 'closed']).default('open'),
  lpd: z.enum(['open', 'closed']).default('closed'),
  /** Names of the print server's queues that should lead here. */
  queues: z.array(z.string()).default([]),
  /** How many people print here. */
  people: z.number().int().positive().optional(),
  /** False: the configuration does not list it, a sweep has to find it. */
  configured: z.boolean().default(true),
});

const OtherScenario = z.strictObject({
  kind: z.literal('other'),
  ...Common,
  descr: z.string().default('File server'),
  snmp: z.union([z.literal(false), Snmp]).default(Snmp.parse({})),
  /** Title of its web page; none when absent. */
  web: z.string().optional(),
});

const SpoolerJob = z.strictObject({
  id: z.number().int().positive(),
  name: z.string().default('Untitled'),
  user: z.string().default('staff'),
  state: z.string().default('pending'),
  reasons: z.array(z.string()).default(['none']),
  kOctets: z.number().int().default(40),
  /** Seconds since it was handed in. */
  ageSeconds: z.number().int().default(60),
  /** Seconds since its processing began; absent: it has not. */
  processingSeconds: z.number().int().optional(),
  holdUntil: z.string().optional(),
});

const SpoolerQueue = z.strictObject({
  name: z.string(),
  /** A URI, or `device:NAME` for wherever that device of the office listens. */
  deviceUri: z.string(),
  info: z.string().default(''),
  location: z.string().default(''),
  makeAndModel: z.string().default('Sandpiper 300 mono'),
  state: z.enum(['idle', 'processing', 'stopped']).default('idle'),
  reasons: z.array(z.string()).default(['none']),
  message: z.string().default(''),
  accepting: z.boolean().default(true),
  deniedUsers: z.array(z.string()).default([]),
  jobs: z.array(SpoolerJob).default([]),
  attributes: z.record(z.string(), IppOverride).default({}),
});

const SpoolerScenario = z.strictObject({
  kind: z.literal('spooler'),
  ...Common,
  queues: z.array(SpoolerQueue).default([]),
  ipp: Ipp.default(Ipp.parse({})),
});

export const Scenario = z.union([PrinterScenario, OtherScenario, SpoolerScenario]);
export type Scenario = z.output<typeof Scenario>;
/** A scenario as written: everything but the name may be left out. */
export type ScenarioInput = z.input<typeof Scenario>;
export type PrinterScenario = z.output<typeof PrinterScenario>;
export type OtherScenario = z.output<typeof OtherScenario>;
export type SpoolerScenario = z.output<typeof SpoolerScenario>;
export type SpoolerQueue = z.output<typeof SpoolerQueue>;
export type SpoolerJob = z.output<typeof SpoolerJob>;
export type ScenarioSnmp = z.output<typeof Snmp>;
export type ScenarioIpp = z.output<typeof Ipp>;
export type ScenarioIppFault = z.output<typeof IppFault>;
export type ScenarioAlert = z.output<typeof Alert>;
export type ScenarioExpect = z.output<typeof Expect>;
export type ScenarioIppOverride = z.output<typeof IppOverride>;
export type ScenarioSnmpOverride = z.output<typeof SnmpOverride>;
