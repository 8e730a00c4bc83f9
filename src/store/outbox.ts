import { type Kysely, sql } from 'kysely';
import { EVENT_SCHEMA, type EventDocument, type EventKind } from '../model/event.js';
import type { LayerId } from '../model/layers.js';
import type { Tables } from './tables.js';

/** One event that one teller has yet to tell. */
export interface Telling {
  readonly event: EventDocument;
  readonly attempts: number;
  readonly dueAt: number;
  /** The message that it was already gathered into, sent or not: a repeat gathers the same events. */
  readonly message: string | null;
}

/**
 * A due time further ahead than this was written by a clock that was wrong: it counts as due. Quiet hours and nights
 * without office are shorter than four days, long week-ends included.
 */
const FURTHEST_MS = 96 * 3_600_000;

/** What a teller has to tell now, oldest first. */
export async function dueTellings(
  db: Kysely<Tables>,
  site: number,
  teller: string,
  now: number,
  limit: number,
): Promise<readonly Telling[]> {
  const rows = await db
    .selectFrom('outbox')
    .innerJoin('events', 'events.id', 'outbox.event_id')
    .selectAll('events')
    .select(['outbox.attempts', 'outbox.due_at', 'outbox.message'])
    .where('outbox.site_id', '=', site)
    .where('outbox.teller', '=', teller)
    .where('outbox.sent_at', 'is', null)
    .where('outbox.gave_up_at', 'is', null)
    .where((eb) => eb.or([eb('outbox.due_at', '<=', now), eb('outbox.due_at', '>', now + FURTHEST_MS)]))
    .orderBy('outbox.seq')
    .limit(limit)
    .execute();
  return rows.map(({ attempts, due_at, message, ...row }) => ({
    attempts,
    dueAt: due_at,
    message,
    event: eventOf(row),
  }));
}

/** The event's document, made of its row the same way each time: the signature and the id of a repeat agree. */
export function eventOf(row: Omit<Tables['events'], 'site_id'>): EventDocument {
  return {
    schema: EVENT_SCHEMA,
    id: row.id,
    kind: row.kind as EventKind,
    printer: row.printer,
    layer: row.layer as LayerId | null,
    cause: row.cause,
    at: new Date(row.at).toISOString(),
    summary: row.summary,
  };
}

/** Messages that a teller sent from this time on. Times in the future are a wrong clock's and do not count. */
export async function messagesSince(
  db: Kysely<Tables>,
  site: number,
  teller: string,
  since: number,
  now: number,
): Promise<number> {
  const row = await db
    .selectFrom('outbox')
    .select(sql<number>`count(distinct message)`.as('n'))
    .where('site_id', '=', site)
    .where('teller', '=', teller)
    .where('sent_at', '>', since)
    .where('sent_at', '<=', now)
    .executeTakeFirstOrThrow();
  return Number(row.n);
}

export interface Told {
  readonly teller: string;
  readonly events: readonly string[];
}

/** Puts down which events go into one message, before it is sent. */
export async function putGathered(db: Kysely<Tables>, { teller, events }: Told, message: string): Promise<void> {
  await db
    .updateTable('outbox')
    .set({ message })
    .where('teller', '=', teller)
    .where('event_id', 'in', events)
    .execute();
}

/** Puts down that events were told, in one message. */
export async function putSent(
  db: Kysely<Tables>,
  { teller, events }: Told,
  at: number,
  message: string,
): Promise<void> {
  await db
    .updateTable('outbox')
    .set({ sent_at: at, message, error: null, attempts: sql`attempts + 1` })
    .where('teller', '=', teller)
    .where('event_id', 'in', events)
    .execute();
}

/** Puts down that telling failed; with `gaveUpAt` it is not tried again. */
export async function putFailed(
  db: Kysely<Tables>,
  { teller, events }: Told,
  error: string,
  gaveUpAt: number | null,
): Promise<void> {
  await db
    .updateTable('outbox')
    .set({ error, gave_up_at: gaveUpAt, attempts: sql`attempts + 1` })
    .where('teller', '=', teller)
    .where('event_id', 'in', events)
    .execute();
}

/** Tellings that wait, over all tellers. */
export async function waitingTellings(db: Kysely<Tables>, site: number): Promise<number> {
  const row = await db
    .selectFrom('outbox')
    .select(sql<number>`count(*)`.as('n'))
    .where('site_id', '=', site)
    .where('sent_at', 'is', null)
    .where('gave_up_at', 'is', null)
    .executeTakeFirstOrThrow();
  return Number(row.n);
}
