import * as z from 'zod';
import { incidentsSchema, printersSchema } from '../model/schemas/agent.js';
import { compareSchema } from '../model/schemas/compare.js';
import { configCheckSchema } from '../model/schemas/config-check.js';
import { defectSchema } from '../model/schemas/defect.js';
import { demoSchema } from '../model/schemas/demo.js';
import { eventSchema, eventsSchema } from '../model/schemas/event.js';
import { evidenceBundleSchema } from '../model/schemas/evidence.js';
import { printHostSchema } from '../model/schemas/print-host.js';
import { printerSchema } from '../model/schemas/printer.js';
import { queueSchema } from '../model/schemas/queue.js';
import { manifestSchema, snapshotSchema } from '../model/schemas/snapshot.js';
import { suppliesSchema } from '../model/schemas/supplies.js';
import { sweepSchema } from '../model/schemas/sweep.js';
import { testpageSchema } from '../model/schemas/testpage.js';
import { whySchema } from '../model/schemas/why.js';
import { configFileSchema } from './file-schema.js';

interface Published {
  readonly name: string;
  readonly title: string;
  readonly schema: z.ZodType;
}

/** Every schema that is published, by the name of its document. */
const PUBLISHED: readonly Published[] = [
  { name: 'printer', title: 'Everything that one printer says of itself', schema: printerSchema },
  { name: 'why', title: 'Why a printer gives no output', schema: whySchema },
  { name: 'sweep', title: 'The printers found in some ranges', schema: sweepSchema },
  { name: 'supplies', title: 'What runs out when, and what to order', schema: suppliesSchema },
  { name: 'queue', title: 'The print queues and jobs on the way to a printer', schema: queueSchema },
  { name: 'defect', title: 'What makes pages come out bad', schema: defectSchema },
  { name: 'print-host', title: 'One Windows print host, as its collector wrote it down', schema: printHostSchema },
  { name: 'evidence', title: 'Evidence that was kept, to be judged again', schema: evidenceBundleSchema },
  { name: 'snapshot', title: 'The state of a site at one moment', schema: snapshotSchema },
  { name: 'testpage', title: 'A test page, and what came of sending it', schema: testpageSchema },
  { name: 'compare', title: 'Two snapshots of a site side by side', schema: compareSchema },
  { name: 'manifest', title: 'The files of a snapshot', schema: manifestSchema },
  { name: 'printers', title: 'The printers that the agent watches', schema: printersSchema },
  { name: 'incidents', title: 'What went wrong, when, and when it was over', schema: incidentsSchema },
  { name: 'event', title: 'One thing that people are told', schema: eventSchema },
  { name: 'events', title: 'Several things that people are told at once', schema: eventsSchema },
  { name: 'demo', title: 'The made-up office, and what each command answered there', schema: demoSchema },
  { name: 'config-check', title: 'What is wrong with a configuration file', schema: configCheckSchema },
  { name: 'config', title: 'The configuration file', schema: configFileSchema },
];

/**
 * JSON Schemas (draft 2020-12) as the files of `shared/schemas` hold them: file name → text. A document of version 1 may gain keys, so
 * unknown keys are allowed; `closed` gives the strict form, which forbids them. The configuration forbids them always.
 */
export function jsonSchemas(closed = false): Readonly<Record<string, string>> {
  return Object.fromEntries(
    PUBLISHED.map(({ name, title, schema }) => {
      const id = `outfeed.${name}/1`;
      const made = z.toJSONSchema(schema, {
        target: 'draft-2020-12',
        io: closed ? 'output' : 'input',
        unrepresentable: 'any',
      });
      const { $schema, ...rest } = made;
      return [
        `${name}-1.json`,
        `${JSON.stringify({ $schema, $id: `urn:outfeed:${name}:1`, title: `${id}: ${title}`, ...rest }, null, 2)}\n`,
      ];
    }),
  );
}
