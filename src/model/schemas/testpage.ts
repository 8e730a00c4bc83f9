import * as z from 'zod';
import { LAYERS } from '../layers.js';
import { FORMAT_FROM, ROUTES, TESTPAGE_SCHEMA } from '../testpage.js';

/** `outfeed testpage --json`. */
export const testpageSchema = z.object({
  schema: z.literal(TESTPAGE_SCHEMA),
  target: z.string(),
  via: z.enum(ROUTES),
  to: z.string(),
  format: z.string(),
  formatFrom: z.enum(FORMAT_FROM),
  dots: z.object({ type: z.string(), dpi: z.object({ x: z.int().min(1), y: z.int().min(1) }) }).nullable(),
  media: z.string(),
  octets: z.int().min(1),
  sheets: z.int().min(1),
  written: z.string().nullable(),
  sent: z
    .object({
      taken: z.boolean(),
      because: z.string(),
      job: z.object({ id: z.int(), state: z.string(), reasons: z.array(z.string()) }).nullable(),
    })
    .nullable(),
  proves: z.array(z.enum(LAYERS)),
  cameOut: z.boolean().nullable(),
  saved: z.string().nullable(),
  remembered: z.boolean(),
  answer: z.string(),
});
