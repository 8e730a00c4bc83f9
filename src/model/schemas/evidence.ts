import * as z from 'zod';
import { OUTCOMES, type Source } from '../evidence.js';
import { EVIDENCE_SCHEMA } from '../why.js';
import { hostEventSchema, printHostSchema } from './print-host.js';

const OBJECT_ABOUT = ['target', 'self', 'gateway', 'fellow', 'queue', 'elsewhere'] as const;
const NEIGHBOUR_STATES = [
  'reachable',
  'stale',
  'delay',
  'probe',
  'incomplete',
  'failed',
  'permanent',
  'noarp',
  'absent',
] as const;

const texts = z.array(z.string());
const maybeText = z.string().nullable();
const maybeNumber = z.number().nullable();
const outcome = z.enum(OUTCOMES);

/** ISO 8601 in UTC, as `Date.toISOString` writes it. */
export const moment = z.iso.datetime();

function record<S extends Source, V extends z.ZodType>(source: S, value: V) {
  return z.object({
    id: z.string().min(1),
    source: z.literal(source),
    what: z.string(),
    about: z.enum(OBJECT_ABOUT),
    subject: z.string(),
    outcome,
    value: value.nullable(),
    at: moment,
    tookMs: z.number().min(0),
  });
}

const neighbour = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('entry'),
    state: z.enum(NEIGHBOUR_STATES),
    mac: maybeText,
    interface: maybeText,
  }),
  z.object({
    kind: z.literal('route'),
    reach: z.enum(['onlink', 'routed', 'loopback', 'none']),
    interface: maybeText,
    gateway: maybeText,
    carrier: z.boolean().nullable(),
  }),
]);

const service = z.object({
  name: z.string(),
  type: z.string(),
  host: maybeText,
  port: maybeNumber,
  addresses: texts,
  txt: z.record(z.string(), z.string()),
});

const snmpVersion = z.enum(['1', '2c', '3']);
const snmpValue = z
  .union([
    z.number(),
    z.string(),
    z.object({ hex: z.string() }),
    z.object({ oid: z.string() }),
    z.object({ ip: z.string() }),
  ])
  .meta({ id: 'SnmpValue' });

const snmp = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('table'),
    rows: z.record(z.string(), z.record(z.string(), snmpValue)),
    cut: z.boolean().exactOptional(),
    problems: texts,
  }),
  z.object({
    kind: z.literal('session'),
    port: z.number(),
    version: snmpVersion.nullable(),
    label: maybeText,
    attempts: z.array(
      z.object({ version: snmpVersion, label: z.string(), outcome, detail: z.string().exactOptional() }),
    ),
    requests: z.number(),
    problems: texts,
  }),
]);

const ippValue = z
  .object({
    tag: z.string(),
    get value() {
      return z.union([
        z.number(),
        z.boolean(),
        z.string(),
        z.null(),
        z.object({ x: z.number(), y: z.number(), units: z.string() }),
        z.object({ lower: z.number(), upper: z.number() }),
        z.object({ hex: z.string() }),
        z.object({ language: z.string(), text: z.string() }),
        z.object({ members: z.record(z.string(), z.array(ippValue)) }),
      ]);
    },
  })
  .meta({ id: 'IppValue' });
const ippAttributes = z.record(z.string(), z.array(ippValue)).meta({ id: 'IppAttributes' });

const tls = z
  .object({
    protocol: z.string().exactOptional(),
    trusted: z.boolean().exactOptional(),
    subject: z.string().exactOptional(),
    validFrom: z.string().exactOptional(),
    validTo: z.string().exactOptional(),
    fingerprint: z.string().exactOptional(),
    error: z.string().exactOptional(),
  })
  .meta({ id: 'TlsInfo' });

const exchange = z
  .object({
    uri: z.string(),
    httpStatus: maybeNumber,
    contentType: z.string().exactOptional(),
    version: maybeText,
    status: maybeText,
    statusMessage: z.string().exactOptional(),
    attributes: ippAttributes,
    whichJobs: z.enum(['completed', 'not-completed']).exactOptional(),
    jobs: z.array(ippAttributes).exactOptional(),
    unsupported: texts.exactOptional(),
    tls: tls.exactOptional(),
    error: z.string().exactOptional(),
    tried: z.array(z.object({ uri: z.string(), gave: z.string() })).exactOptional(),
    user: z.string().exactOptional(),
    problems: texts,
  })
  .meta({ id: 'IppExchange' });

const printHost = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('report'), report: printHostSchema }),
  z.object({ kind: z.literal('events'), events: z.array(hostEventSchema), problems: texts }),
]);

/** One evidence record. */
export const evidenceSchema = z
  .discriminatedUnion('source', [
    record('neighbour', neighbour),
    record('icmp', z.object({ rttMs: z.number() })),
    record('tcp', z.string()),
    record('dns', z.object({ addresses: texts, code: z.string().exactOptional() })),
    record('dns-sd', z.object({ instances: z.array(service) })),
    record('snmp', snmp),
    record('ipp', exchange),
    record('spooler', z.union([exchange, printHost])),
    record('lpd', z.object({ text: z.string(), problems: texts.exactOptional() })),
    record('pjl', z.object({ code: maybeNumber, display: maybeText, online: z.boolean().nullable(), problems: texts })),
    record(
      'http',
      z.object({
        url: z.string(),
        status: maybeNumber,
        server: z.string().exactOptional(),
        tls: tls.exactOptional(),
        error: z.string().exactOptional(),
      }),
    ),
    record(
      'switch',
      z.object({
        port: z.number(),
        operStatus: maybeText,
        lastChangeTicks: z.number().exactOptional(),
        macs: texts.exactOptional(),
        errors: z.number().exactOptional(),
      }),
    ),
    record('history', z.record(z.string(), z.unknown())),
    record('operator', z.string()),
  ])
  .meta({ id: 'Evidence' });

/** What `why --save` keeps. */
export const evidenceBundleSchema = z.object({
  schema: z.literal(EVIDENCE_SCHEMA),
  target: z.string(),
  address: maybeText,
  deviceIndex: z.int().exactOptional(),
  user: z.string().exactOptional(),
  askedAt: moment,
  tookMs: z.number().min(0),
  evidence: z.array(evidenceSchema),
});
