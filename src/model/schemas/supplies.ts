import * as z from 'zod';
import { SUPPLIES_SCHEMA } from '../supplies.js';
import { moment } from './evidence.js';
import { supplySchema } from './printer.js';

const maybeNumber = z.number().nullable();
const texts = z.array(z.string());
const estimate = <T extends z.ZodType>(of: T) => z.object({ median: of, low: of, high: of }).nullable();
const date = z.iso.date();

/** One entry of `forecasts`. */
export const forecastSchema = z
  .object({
    printer: z.string(),
    supply: supplySchema.pick({ index: true, name: true, type: true, colour: true }),
    percent: supplySchema.shape.percent,
    state: supplySchema.shape.state,
    enough: z.boolean(),
    because: z.string(),
    perDay: estimate(z.number()),
    daysLeft: estimate(z.number()),
    emptyAt: estimate(z.string()),
    pagesLeft: estimate(z.number()),
    refills: texts,
    yield: z
      .object({
        pagesPerPercent: z.number(),
        ratedPagesPerPercent: maybeNumber,
        coverage: maybeNumber,
        costPerPage: maybeNumber,
        currency: z.string().nullable(),
      })
      .nullable()
      .exactOptional(),
    notes: texts.exactOptional(),
  })
  .meta({ id: 'Forecast' });

/** `outfeed supplies --json`. */
export const suppliesSchema = z.object({
  schema: z.literal(SUPPLIES_SCHEMA),
  asOf: moment,
  interval: z.number().gt(0).lt(1),
  forecasts: z.array(forecastSchema),
  orders: z.array(
    z.object({ what: z.string(), fits: texts, quantity: z.int().min(1), orderBy: date, because: z.string() }),
  ),
  maintenance: z.array(
    z.object({
      printer: z.string(),
      part: z.string(),
      state: z.enum(['ok', 'soon', 'due', 'unknown']),
      pagesLeft: maybeNumber,
      dueAt: date.nullable(),
      because: z.string(),
    }),
  ),
  feeding: z
    .array(
      z.object({
        printer: z.string(),
        tray: z.string(),
        faults: z.int().min(1),
        per10000: z.number().min(0),
        before: z.number().min(0),
        lately: z.number().min(0),
        rising: z.boolean(),
      }),
    )
    .exactOptional(),
  problems: texts,
});
