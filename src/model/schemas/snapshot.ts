import * as z from 'zod';
import { MANIFEST_SCHEMA, SNAPSHOT_SCHEMA } from '../snapshot.js';
import { moment } from './evidence.js';
import { countersSchema, printerSchema } from './printer.js';
import { forecastSchema } from './supplies.js';
import { layerSchema, whySchema } from './why.js';

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

/** `site.json` of a snapshot. */
export const snapshotSchema = z.object({
  schema: z.literal(SNAPSHOT_SCHEMA),
  site: z.string(),
  madeAt: moment,
  redacted: z.boolean(),
  printers: z.array(
    z.object({
      printer: printerSchema.nullable(),
      why: whySchema,
      supplies: z.array(forecastSchema),
      counters: countersSchema.nullable(),
      incidents: z.array(incident),
    }),
  ),
  visit: z.object({
    order: z.array(
      z.object({
        printer: z.string(),
        minutes: z.number().min(0),
        people: z.number().min(0).nullable(),
        remote: z.boolean(),
        steps: texts,
      }),
    ),
    bring: z.array(z.object({ what: z.string(), for: texts, because: z.string() })),
  }),
});

/** `manifest.json` of a snapshot. */
export const manifestSchema = z.object({
  schema: z.literal(MANIFEST_SCHEMA),
  program: z.string(),
  madeAt: moment,
  files: z.array(z.object({ path: z.string(), bytes: z.int().min(0), sha256: z.string().regex(/^[0-9a-f]{64}$/) })),
});
