import * as z from 'zod';
import { EVENT_KINDS, EVENT_SCHEMA, EVENTS_SCHEMA } from '../event.js';
import { moment } from './evidence.js';
import { layerSchema } from './why.js';

/** What a webhook gets. */
export const eventSchema = z
  .object({
    schema: z.literal(EVENT_SCHEMA),
    id: z.string().min(1),
    kind: z.enum(EVENT_KINDS),
    printer: z.string(),
    layer: layerSchema.nullable(),
    cause: z.string().nullable(),
    at: moment,
    summary: z.string(),
  })
  .meta({ id: 'Event' });

/** What a webhook gets where several events were gathered. */
export const eventsSchema = z.object({ schema: z.literal(EVENTS_SCHEMA), events: z.array(eventSchema) });
