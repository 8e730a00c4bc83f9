import * as z from 'zod';
import { COMPARE_SCHEMA } from '../compare.js';
import { LAYERS } from '../layers.js';
import { moment } from './evidence.js';

const compared = z.object({ site: z.string(), madeAt: moment, printers: z.int().min(0) });
const faults = z.array(
  z.object({ printer: z.string(), layer: z.enum(LAYERS), cause: z.string(), component: z.string().nullable() }),
);
const names = z.array(z.string());

/** `outfeed compare --json`. */
export const compareSchema = z.object({
  schema: z.literal(COMPARE_SCHEMA),
  old: compared,
  new: compared,
  days: z.number().min(0),
  fixed: faults,
  broken: faults,
  still: faults,
  unclear: faults,
  replaced: z.array(z.object({ printer: z.string(), what: z.string() })),
  moved: z.array(z.object({ printer: z.string(), from: z.string(), to: z.string() })),
  appeared: names,
  gone: names,
  pages: z.array(z.object({ printer: z.string(), printed: z.int().min(0) })),
});
