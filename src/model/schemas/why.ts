import * as z from 'zod';
import { CERTAINTIES, LAYER_STATES, LAYERS } from '../layers.js';
import { WHY_SCHEMA } from '../why.js';
import { evidenceSchema, moment } from './evidence.js';

const maybeText = z.string().nullable();
export const layerSchema = z.enum(LAYERS);

const blame = z.object({
  layer: layerSchema,
  cause: z.string(),
  certainty: z.enum(CERTAINTIES),
  component: z.string().exactOptional(),
  summary: z.string(),
});

export const nextStepSchema = z.object({ step: z.string(), minutes: z.number().min(0), cautions: z.array(z.string()) });

/** `outfeed why --json`. */
export const whySchema = z
  .object({
    schema: z.literal(WHY_SCHEMA),
    target: z.string(),
    printer: z.object({ name: maybeText, address: maybeText, model: maybeText, serial: maybeText }),
    askedAt: moment,
    tookMs: z.number().min(0),
    silent: z.boolean().nullable(),
    verdict: blame.extend({ next: z.array(nextStepSchema) }),
    others: z.array(blame),
    warnings: z.array(blame),
    suspects: z.array(z.object({ layer: layerSchema, cause: z.string(), probability: z.number().min(0).max(1) })),
    checks: z.array(
      z.object({
        id: z.string(),
        ask: z.string(),
        minutes: z.number().min(0),
        bits: z.number().min(0),
        sheets: z.number().min(0),
        outcomes: z.array(z.string()),
      }),
    ),
    layers: z
      .array(
        z.object({
          layer: layerSchema,
          state: z.enum(LAYER_STATES),
          cause: z.string().exactOptional(),
          component: z.string().exactOptional(),
          summary: z.string(),
          evidence: z.array(z.string()),
        }),
      )
      .length(LAYERS.length),
    evidence: z.array(evidenceSchema),
  })
  .meta({ id: 'Why' });
