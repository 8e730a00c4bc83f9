import type { LayerId } from './layers.js';

/** `outfeed.event/1`: one thing that people are told. */
export const EVENT_SCHEMA = 'outfeed.event/1';

export const EVENT_KINDS = ['fault', 'cleared', 'supply', 'printer-new', 'printer-gone'] as const;
export type EventKind = (typeof EVENT_KINDS)[number];

export interface EventDocument {
  readonly schema: typeof EVENT_SCHEMA;
  /** The same event always has the same id, however often it is sent. */
  readonly id: string;
  readonly kind: EventKind;
  readonly printer: string;
  /** Null where no layer is to blame: a printer came or went. */
  readonly layer: LayerId | null;
  readonly cause: string | null;
  /** ISO 8601, UTC. */
  readonly at: string;
  readonly summary: string;
}

/** `outfeed.events/1`: several events in one message, where a teller's limit for the hour was met. */
export const EVENTS_SCHEMA = 'outfeed.events/1';

export interface EventsDocument {
  readonly schema: typeof EVENTS_SCHEMA;
  readonly events: readonly EventDocument[];
}
