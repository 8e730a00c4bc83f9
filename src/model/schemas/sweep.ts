import * as z from 'zod';
import { SWEEP_SCHEMA } from '../sweep.js';
import { moment } from './evidence.js';

const maybeText = z.string().nullable();

/** `outfeed sweep --json`. */
export const sweepSchema = z.object({
  schema: z.literal(SWEEP_SCHEMA),
  ranges: z.array(z.string()),
  startedAt: moment,
  tookMs: z.number().min(0),
  addressesTried: z.int().min(0),
  found: z.array(
    z.object({
      address: z.string(),
      name: maybeText,
      model: maybeText,
      serial: maybeText,
      uuid: maybeText,
      mac: maybeText,
      ports: z.array(z.int().min(1).max(65_535)),
      snmp: z.enum(['1', '2c', '3']).nullable(),
      ipp: maybeText,
      dnsSd: z.boolean(),
      foundBy: z.array(z.enum(['snmp', 'tcp', 'dns-sd', 'neighbour', 'ipp'])),
      alsoAt: z.array(z.string()),
    }),
  ),
  others: z.array(z.object({ address: z.string(), what: z.string() })),
  problems: z.array(z.string()),
});
