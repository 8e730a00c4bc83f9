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
      foundBy: z.array(z.enum(['snmp', 'tcp', 'dns-sd', 'neighbour', 'ipp', 'ws-discovery'])),
      alsoAt: z.array(z.string()),
      deviceIndex: z.int().min(0).exactOptional(),
      selfAssigned: z.boolean().exactOptional(),
      candidate: z.boolean().exactOptional(),
      because: z.string().exactOptional(),
    }),
  ),
  others: z.array(z.object({ address: z.string(), what: z.string(), selfAssigned: z.boolean().exactOptional() })),
  changes: z
    .array(
      z.object({
        what: z.enum(['new', 'gone', 'moved', 'changed']),
        against: z.enum(['configuration', 'earlier-sweep']),
        address: z.string(),
        before: z.string().exactOptional(),
        name: maybeText,
        summary: z.string(),
      }),
    )
    .exactOptional(),
  liveness: z.array(z.enum(['neighbour-table', 'tcp'])).exactOptional(),
  problems: z.array(z.string()),
});
