import * as z from 'zod';
import { CONFIG_CHECK_SCHEMA } from '../config-check.js';

/** `outfeed check-config --json`. */
export const configCheckSchema = z.object({
  schema: z.literal(CONFIG_CHECK_SCHEMA),
  file: z.string().nullable(),
  problems: z.array(z.object({ line: z.int().min(1), column: z.int().min(1), text: z.string() })),
});
