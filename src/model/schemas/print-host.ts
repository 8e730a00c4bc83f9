import * as z from 'zod';
import { PRINT_HOST_SCHEMA } from '../print-host.js';

const maybeText = z.string().nullable();
const maybeNumber = z.number().nullable();
const denied = z.object({ denied: z.string() });
const time = z.iso.datetime({ offset: true });

/** Read, or the word why it could not be. */
function readable<T extends z.ZodType>(schema: T) {
  return z.union([schema, denied]);
}

const recovery = z.object({
  resetSeconds: maybeNumber,
  actions: z.array(z.object({ action: z.enum(['none', 'restart', 'reboot', 'run']), delayMs: z.number().min(0) })),
});

const queue = z.object({
  name: z.string(),
  shareName: maybeText,
  portName: z.string(),
  driverName: z.string(),
  status: z.int().min(0),
  offline: z.boolean().nullable(),
  shared: z.boolean(),
  datatype: maybeText,
  printProcessor: maybeText,
  comment: maybeText,
  location: maybeText,
  permissions: readable(z.object({ sddl: z.string(), names: z.record(z.string(), z.string()) })),
});

const port = z.object({
  name: z.string(),
  monitor: maybeText,
  hostAddress: maybeText,
  portNumber: maybeNumber,
  protocol: z.enum(['raw', 'lpr']).nullable(),
  lprQueue: maybeText,
});

const driver = z.object({
  name: z.string(),
  environment: z.string(),
  majorVersion: maybeNumber,
  version: maybeText,
  files: z.array(z.string()),
  missingFiles: readable(z.array(z.string())),
});

const job = z.object({
  queue: z.string(),
  id: z.int().min(0),
  document: maybeText,
  user: maybeText,
  status: z.int().min(0),
  bytes: maybeNumber,
  pages: maybeNumber,
  pagesPrinted: maybeNumber,
  submittedAt: time.nullable(),
  datatype: maybeText,
});

export const hostEventSchema = z.object({
  provider: z.string(),
  id: z.int().min(0),
  at: time,
  data: z.record(z.string(), z.string()),
});

/** What the collector writes and `--queue-report` reads. */
export const printHostSchema = z
  .object({
    schema: z.literal(PRINT_HOST_SCHEMA),
    madeAt: time,
    host: z.string().min(1),
    days: z.number().min(0),
    ranAs: z.object({ user: z.string(), groups: z.array(z.string()), elevated: z.boolean() }),
    system: readable(
      z.object({
        name: z.string(),
        version: z.string(),
        osArchitecture: z.string(),
        processArchitecture: z.string(),
      }),
    ),
    spooler: readable(
      z.object({
        state: z.string(),
        startMode: maybeText,
        startedAt: time.nullable(),
        recovery: readable(recovery),
      }),
    ),
    policies: readable(z.object({ driversOnlyByAdministrators: z.boolean().nullable() })),
    queues: readable(z.array(queue)),
    ports: readable(z.array(port)),
    drivers: readable(z.array(driver)),
    jobs: readable(z.array(job)),
    events: readable(z.array(hostEventSchema)),
  })
  .meta({ id: 'PrintHost' });
