import * as z from 'zod';
import { CERTAINTIES } from '../layers.js';
import { QUEUE_SCHEMA } from '../queue.js';
import { moment } from './evidence.js';
import { layerSchema } from './why.js';

const maybeText = z.string().nullable();
const maybeSeconds = z.number().min(0).nullable();
const nextSteps = z.array(z.object({ step: z.string(), minutes: z.number().min(0), cautions: z.array(z.string()) }));

const job = z.object({
  id: z.int(),
  state: z.string(),
  reasons: z.array(z.string()),
  name: maybeText,
  user: maybeText,
  kOctets: z.number().nullable(),
  createdAt: moment.nullable(),
  waitingSeconds: maybeSeconds,
  processingSeconds: maybeSeconds,
  format: maybeText,
  impressions: z.number().nullable(),
});

const finding = z.object({
  layer: layerSchema,
  cause: z.string(),
  certainty: z.enum(CERTAINTIES),
  severity: z.enum(['fault', 'warning']),
  job: z.int().nullable(),
  summary: z.string(),
  next: nextSteps,
});

const step = z.object({ taken: z.boolean().nullable(), code: z.string() }).nullable();

const allowed = z.enum(['allowed', 'refused', 'unknown']);

const queue = z.object({
  uri: z.string(),
  name: z.string(),
  server: z.string(),
  state: z.enum(['idle', 'processing', 'stopped']).nullable(),
  reasons: z.array(z.string()),
  message: maybeText,
  accepting: z.boolean().nullable(),
  deviceUri: maybeText,
  leadsTo: maybeText,
  members: z.array(z.string()),
  jobs: z.array(job),
  expectedWaitSeconds: maybeSeconds,
  clears: z.object({ byItself: z.boolean().nullable(), inSeconds: maybeSeconds, because: z.string() }),
  route: z
    .object({
      user: maybeText,
      direct: step,
      throughQueue: step,
      stopsAt: z.enum(['queue', 'printer', 'nowhere']).nullable(),
      summary: z.string(),
    })
    .nullable(),
  rights: z.object({ user: z.string(), print: allowed, manageDocuments: allowed, managePrinter: allowed }).nullable(),
  findings: z.array(finding),
});

const suspect = z.object({
  kind: z.enum(['job', 'document', 'user', 'driver', 'format']),
  job: z.int().nullable(),
  document: maybeText,
  user: maybeText,
  driver: maybeText,
  format: maybeText,
  queue: maybeText,
});

/** `outfeed queue --json`. */
export const queueSchema = z.object({
  schema: z.literal(QUEUE_SCHEMA),
  askedAt: moment,
  queues: z.array(queue),
  crashLoop: z
    .object({
      crashes: z.int().min(1),
      suspect: suspect.nullable(),
      explains: z.int().min(0),
      byChance: z.number().min(0).max(1).nullable(),
      firstAt: moment,
      lastAt: moment,
      recovery: maybeText,
      summary: z.string(),
      next: nextSteps,
    })
    .nullable(),
  problems: z.array(z.string()),
});
