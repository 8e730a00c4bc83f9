import { expect, test } from 'vitest';
import type * as z from 'zod';
import type { PrintersDocument } from '../../src/model/agent.js';
import type { ConfigCheckDocument } from '../../src/model/config-check.js';
import type { DefectDocument } from '../../src/model/defect.js';
import type { DemoDocument } from '../../src/model/demo.js';
import type { EventDocument, EventsDocument } from '../../src/model/event.js';
import type { Evidence } from '../../src/model/evidence.js';
import type { IncidentsDocument } from '../../src/model/incident.js';
import type { PrintHostReport } from '../../src/model/print-host.js';
import type { PrinterDocument } from '../../src/model/printer.js';
import type { QueueDocument } from '../../src/model/queue.js';
import type { incidentsSchema, printersSchema } from '../../src/model/schemas/agent.js';
import type { configCheckSchema } from '../../src/model/schemas/config-check.js';
import type { defectSchema } from '../../src/model/schemas/defect.js';
import type { demoSchema } from '../../src/model/schemas/demo.js';
import type { eventSchema, eventsSchema } from '../../src/model/schemas/event.js';
import type { evidenceBundleSchema, evidenceSchema } from '../../src/model/schemas/evidence.js';
import type { printHostSchema } from '../../src/model/schemas/print-host.js';
import type { printerSchema } from '../../src/model/schemas/printer.js';
import type { queueSchema } from '../../src/model/schemas/queue.js';
import type { manifestSchema, snapshotSchema } from '../../src/model/schemas/snapshot.js';
import type { suppliesSchema } from '../../src/model/schemas/supplies.js';
import type { sweepSchema } from '../../src/model/schemas/sweep.js';
import type { whySchema } from '../../src/model/schemas/why.js';
import type { Manifest, SnapshotDocument } from '../../src/model/snapshot.js';
import type { SuppliesDocument } from '../../src/model/supplies.js';
import type { SweepDocument } from '../../src/model/sweep.js';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';

type Frozen<T> = T extends readonly (infer E)[]
  ? readonly Frozen<E>[]
  : T extends object
    ? { readonly [K in keyof T]: Frozen<T[K]> }
    : T;

/** `true` only when either may stand for the other: then schema and type say the same. Checked by the compiler, not at run time. */
type Agree<Model, Schema extends z.ZodType> = [Model] extends [Frozen<z.infer<Schema>>]
  ? [Frozen<z.infer<Schema>>] extends [Model]
    ? true
    : 'the schema allows what the type does not'
  : 'the type allows what the schema does not';

test('types and schemas say the same', () => {
  const evidence: Agree<Evidence, typeof evidenceSchema> = true;
  const bundle: Agree<EvidenceBundle, typeof evidenceBundleSchema> = true;
  const printer: Agree<PrinterDocument, typeof printerSchema> = true;
  const why: Agree<WhyDocument, typeof whySchema> = true;
  const queue: Agree<QueueDocument, typeof queueSchema> = true;
  const defect: Agree<DefectDocument, typeof defectSchema> = true;
  const host: Agree<PrintHostReport, typeof printHostSchema> = true;
  const supplies: Agree<SuppliesDocument, typeof suppliesSchema> = true;
  const printers: Agree<PrintersDocument, typeof printersSchema> = true;
  const incidents: Agree<IncidentsDocument, typeof incidentsSchema> = true;
  const event: Agree<EventDocument, typeof eventSchema> = true;
  const events: Agree<EventsDocument, typeof eventsSchema> = true;
  const sweep: Agree<SweepDocument, typeof sweepSchema> = true;
  const snapshot: Agree<SnapshotDocument, typeof snapshotSchema> = true;
  const manifest: Agree<Manifest, typeof manifestSchema> = true;
  const demo: Agree<DemoDocument, typeof demoSchema> = true;
  const check: Agree<ConfigCheckDocument, typeof configCheckSchema> = true;
  expect([supplies]).not.toContain(false);
  expect([queue, host, defect]).not.toContain(false);
  expect([printers, incidents, event, events]).not.toContain(false);
  expect([demo, check, evidence, bundle, printer, why, sweep, snapshot, manifest]).not.toContain(false);
});
