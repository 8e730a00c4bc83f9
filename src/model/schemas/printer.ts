import * as z from 'zod';
import { PRINTER_SCHEMA } from '../printer.js';
import { moment } from './evidence.js';

const texts = z.array(z.string());
const maybeText = z.string().nullable();
const maybeNumber = z.number().nullable();
const percent = z.number().min(0).max(100).nullable();
const meaning = z.enum(['measured', 'some-left', 'no-limit', 'unknown']);

const identity = z.object({
  name: maybeText,
  model: maybeText,
  serial: maybeText,
  uuid: maybeText,
  macs: texts,
  location: maybeText,
  contact: maybeText,
  firmware: maybeText,
  adminUrl: maybeText,
});

const state = z.object({
  device: z.enum(['unknown', 'running', 'warning', 'testing', 'down']).nullable(),
  printer: z.enum(['other', 'unknown', 'idle', 'printing', 'warmup']).nullable(),
  errorBits: texts,
  ipp: z.enum(['idle', 'processing', 'stopped']).nullable(),
  reasons: texts,
  accepting: z.boolean().nullable(),
  message: maybeText.exactOptional(),
});

const alert = z.object({
  source: z.enum(['snmp', 'ipp']),
  index: maybeNumber,
  severity: z.string(),
  group: maybeText,
  groupIndex: maybeNumber,
  component: maybeText,
  code: z.string(),
  codeNumber: maybeNumber,
  trainingLevel: maybeText,
  location: maybeNumber,
  description: maybeText,
  reason: maybeText,
  raisedAtTicks: maybeNumber,
});

export const supplySchema = z.object({
  index: z.number(),
  name: z.string(),
  type: z.string(),
  class: z.string(),
  colour: maybeText,
  unit: maybeText,
  level: maybeNumber,
  capacity: maybeNumber,
  percent,
  meaning,
  state: z.enum(['ok', 'low', 'empty', 'full', 'unknown']),
});

const tray = z.object({
  index: z.number(),
  name: z.string(),
  type: maybeText,
  level: maybeNumber,
  capacity: maybeNumber,
  unit: maybeText,
  percent,
  meaning,
  media: maybeText,
  status: maybeNumber.exactOptional(),
});

const output = z.object({
  index: z.number(),
  name: z.string(),
  level: maybeNumber,
  capacity: maybeNumber,
  percent,
  meaning,
  status: maybeNumber.exactOptional(),
});

const finisher = z.object({
  index: z.number(),
  name: z.string(),
  type: maybeText,
  present: z.boolean().nullable(),
  unit: maybeText,
  level: maybeNumber,
  capacity: maybeNumber,
  percent,
  meaning,
  status: maybeNumber.exactOptional(),
  supplies: z.array(supplySchema.omit({ state: true, colour: true })),
});

const port = z.object({
  index: z.number(),
  name: maybeText,
  protocol: maybeText,
  service: maybeText,
  port: maybeNumber,
  enabled: z.boolean().nullable(),
});

const networkInterface = z.object({
  index: z.number(),
  name: maybeText,
  mac: maybeText,
  up: z.boolean().nullable(),
  megabits: maybeNumber,
  inErrors: maybeNumber,
  outErrors: maybeNumber,
  inDiscards: maybeNumber,
});

export const countersSchema = z.object({ lifePages: maybeNumber, powerOnPages: maybeNumber });

/** `outfeed show --json`. */
export const printerSchema = z
  .object({
    schema: z.literal(PRINTER_SCHEMA),
    address: z.string(),
    readAt: moment,
    isPrinter: z.boolean(),
    isPrinterBecause: z.string(),
    deviceIndex: maybeNumber,
    alsoHere: z.array(z.object({ deviceIndex: z.number(), model: maybeText })),
    identity,
    state,
    alerts: z.array(alert),
    supplies: z.array(supplySchema),
    trays: z.array(tray),
    outputs: z.array(output),
    covers: z.array(z.object({ index: z.number(), name: z.string(), state: z.string() })),
    finishers: z.array(finisher).exactOptional(),
    ports: z.array(port).exactOptional(),
    interfaces: z.array(networkInterface).exactOptional(),
    counters: countersSchema,
    console: texts,
    languages: texts,
    formats: texts,
    memoryBytes: maybeNumber,
    upTimeTicks: maybeNumber,
    from: z.record(z.string(), z.enum(['snmp', 'ipp', 'dns-sd'])),
    problems: texts,
  })
  .meta({ id: 'Printer' });
