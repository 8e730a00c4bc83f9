import * as z from 'zod';
import { COMPARE_SCHEMA, REPLACED_KINDS } from '../compare.js';
import { LAYERS } from '../layers.js';
import { moment } from './evidence.js';

const compared = z.object({ site: z.string(), madeAt: moment, printers: z.int().min(0) });
const fault = z.object({
  printer: z.string(),
  layer: z.enum(LAYERS),
  cause: z.string(),
  component: z.string().nullable(),
  summary: z.string().exactOptional(),
});
const faults = z.array(fault);
const fixed = fault.extend({
  endedAt: moment.nullable().exactOptional(),
  heldDays: z.int().min(0).nullable().exactOptional(),
  cameBack: z.int().min(0).nullable().exactOptional(),
});
const replaced = z.object({
  printer: z.string(),
  what: z.string(),
  kind: z.enum(REPLACED_KINDS).exactOptional(),
  before: z.string().exactOptional(),
  after: z.string().exactOptional(),
});
const names = z.array(z.string());

/** `outfeed compare --json`. */
export const compareSchema = z.object({
  schema: z.literal(COMPARE_SCHEMA),
  old: compared,
  new: compared,
  days: z.number().min(0),
  fixed: z.array(fixed),
  broken: faults,
  still: faults,
  unclear: faults,
  replaced: z.array(replaced),
  moved: z.array(z.object({ printer: z.string(), from: z.string(), to: z.string() })),
  appeared: names,
  gone: names,
  notLookedAt: names.exactOptional(),
  pages: z.array(z.object({ printer: z.string(), printed: z.int().min(0) })),
});
