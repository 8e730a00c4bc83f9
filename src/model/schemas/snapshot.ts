import * as z from 'zod';
import { CERTAINTIES } from '../layers.js';
import { BRING_KINDS, MANIFEST_SCHEMA, PAST_STATES, SNAPSHOT_SCHEMA } from '../snapshot.js';
import { moment } from './evidence.js';
import { countersSchema, printerSchema } from './printer.js';
import { forecastSchema } from './supplies.js';
import { layerSchema, nextStepSchema, whySchema } from './why.js';

const maybeText = z.string().nullable();
const texts = z.array(z.string());
const incident = z.object({
  id: z.string(),
  printer: z.string(),
  layer: layerSchema,
  cause: z.string(),
  component: maybeText,
  startedAt: z.string(),
  endedAt: maybeText,
  acknowledgedAt: maybeText,
});

const past = z.object({
  states: z.array(z.object({ from: z.string(), to: z.string(), state: z.enum(PAST_STATES), cause: maybeText })),
  firstDay: z.string(),
  pages: z.array(z.int().min(0).nullable()),
});
const sinceVisit = z.object({
  pages: z.int().min(0).nullable(),
  lifePagesThen: z.int().min(0).nullable(),
  faults: z.int().min(0),
});

const stop = z.object({
  printer: z.string(),
  minutes: z.number().min(0),
  people: z.number().min(0).nullable(),
  remote: z.boolean(),
  steps: texts,
  layer: layerSchema.exactOptional(),
  cause: z.string().exactOptional(),
  component: maybeText.exactOptional(),
  certainty: z.enum(CERTAINTIES).exactOptional(),
  summary: z.string().exactOptional(),
  since: maybeText.exactOptional(),
  afterPrevious: z.boolean().exactOptional(),
  tasks: z.array(nextStepSchema).exactOptional(),
  alsoFor: texts.exactOptional(),
});
const bring = z.object({
  what: z.string(),
  for: texts,
  because: z.string(),
  kind: z.enum(BRING_KINDS).exactOptional(),
  quantity: z.int().min(1).exactOptional(),
});
const runsOut = z.object({
  printer: z.string(),
  supply: z.string(),
  emptyAt: forecastSchema.shape.emptyAt,
  state: forecastSchema.shape.state,
  percent: forecastSchema.shape.percent,
});
/** What was added later is optional: snapshots made before stay readable. */
const visit = z.object({
  order: z.array(stop),
  bring: z.array(bring),
  present: z.array(z.object({ who: z.string(), for: texts, because: z.string() })).exactOptional(),
  questions: z
    .array(z.object({ printer: z.string(), ask: z.string(), answers: texts, check: maybeText }))
    .exactOptional(),
  runsOut: z.array(runsOut).exactOptional(),
  nextVisit: z.string().exactOptional(),
  lastVisit: maybeText.exactOptional(),
});

/** `site.json` of a snapshot. */
export const snapshotSchema = z.object({
  schema: z.literal(SNAPSHOT_SCHEMA),
  site: z.string(),
  timezone: z.string().exactOptional(),
  madeAt: moment,
  redacted: z.boolean(),
  chosen: z.boolean().exactOptional(),
  printers: z.array(
    z.object({
      printer: printerSchema.nullable(),
      why: whySchema,
      supplies: z.array(forecastSchema),
      counters: countersSchema.nullable(),
      incidents: z.array(incident),
      knownAs: z.object({ model: maybeText, serial: maybeText, location: maybeText }).exactOptional(),
      past: past.exactOptional(),
      sinceVisit: sinceVisit.exactOptional(),
    }),
  ),
  visit,
});

/** `manifest.json` of a snapshot. */
export const manifestSchema = z.object({
  schema: z.literal(MANIFEST_SCHEMA),
  program: z.string(),
  madeAt: moment,
  clock: z
    .object({
      offsetSeconds: z.int(),
      spreadSeconds: z.int().min(0),
      devices: z.int().min(1),
      sources: z.array(z.enum(['printer-current-time', 'hrSystemDate'])),
    })
    .exactOptional(),
  files: z.array(z.object({ path: z.string(), bytes: z.int().min(0), sha256: z.string().regex(/^[0-9a-f]{64}$/) })),
});
