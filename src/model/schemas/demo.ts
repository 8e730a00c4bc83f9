import * as z from 'zod';
import { DEMO_SCHEMA } from '../demo.js';

/** `outfeed demo --json`. Each step's document has a schema of its own. */
export const demoSchema = z.object({
  schema: z.literal(DEMO_SCHEMA),
  range: z.string(),
  devices: z.array(
    z.object({
      name: z.string(),
      address: z.string(),
      kind: z.enum(['printer', 'other', 'spooler']),
      expect: z.object({ layer: z.string(), cause: z.string() }).nullable(),
    }),
  ),
  steps: z.array(
    z.object({ command: z.array(z.string()), exitCode: z.literal([0, 1, 2, 3, 4]), document: z.unknown() }),
  ),
});
