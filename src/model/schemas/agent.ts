import * as z from 'zod';
import { PRINTERS_SCHEMA } from '../agent.js';
import { INCIDENTS_SCHEMA } from '../incident.js';
import { moment } from './evidence.js';
import { layerSchema } from './why.js';

/** `/api/v1/printers`. */
export const printersSchema = z.object({
  schema: z.literal(PRINTERS_SCHEMA),
  printers: z.array(
    z.object({
      name: z.string(),
      address: z.string(),
      silent: z.boolean().nullable(),
      layer: layerSchema.nullable(),
      cause: z.string().nullable(),
      since: moment.nullable(),
      lastAnswerAt: moment.nullable(),
    }),
  ),
});

/** `/api/v1/incidents`. */
export const incidentsSchema = z.object({
  schema: z.literal(INCIDENTS_SCHEMA),
  incidents: z.array(
    z.object({
      id: z.string(),
      printer: z.string(),
      layer: layerSchema,
      cause: z.string(),
      component: z.string().nullable(),
      startedAt: moment,
      endedAt: moment.nullable(),
      acknowledgedAt: moment.nullable(),
      affects: z.array(z.string()),
      note: z.string().nullable(),
      flapping: z.boolean(),
    }),
  ),
  reliability: z
    .array(
      z.object({
        printer: z.string(),
        watchedSeconds: z.int().min(0),
        silentSeconds: z.int().min(0),
        availability: z.number().min(0).max(1),
        faults: z.int().min(0),
        meanSecondsBetweenFaults: z.int().min(0).nullable(),
      }),
    )
    .exactOptional(),
});
