import { type Kysely, type Selectable, sql } from 'kysely';
import type { KeptIncident } from '../model/incident.js';
import type { LayerId } from '../model/layers.js';
import type { IncidentRecord } from './change.js';
import type { Tables } from './tables.js';

export interface IncidentQuery {
  /** Only those not yet over. */
  readonly open?: boolean;
  /** Only those that struck this printer. */
  readonly printer?: string;
  readonly cause?: string;
  /** Only those that were not over by this time. */
  readonly since?: number;
  /** Only those that come after this one in the list, newest first. */
  readonly after?: { readonly startedAt: number; readonly id: string };
  /** At most so many, the newest. */
  readonly limit: number;
}

type Row = Selectable<Tables['incidents']>;

async function rowsOf(db: Kysely<Tables>, site: number, asked: IncidentQuery): Promise<readonly Row[]> {
  let query = db.selectFrom('incidents').selectAll().where('site_id', '=', site);
  if (asked.open === true) query = query.where('ended_at', 'is', null);
  if (asked.cause !== undefined) query = query.where('cause', '=', asked.cause);
  const { printer, since } = asked;
  if (printer !== undefined) {
    // A name in the list stands between quotation marks. Only PostgreSQL takes a backslash for an escape unasked.
    const quoted = `%${JSON.stringify(printer).replaceAll(/[\\%_]/g, '\\$&')}%`;
    const struck = sql<boolean>`affects like ${quoted} escape ${sql.lit('\\')}`;
    query = query.where((eb) => eb.or([eb('printer', '=', printer), struck]));
  }
  if (since !== undefined) {
    query = query.where((eb) => eb.or([eb('ended_at', 'is', null), eb('ended_at', '>=', since)]));
  }
  const { after } = asked;
  if (after !== undefined) {
    query = query.where((eb) =>
      eb.or([
        eb('started_at', '<', after.startedAt),
        eb.and([eb('started_at', '=', after.startedAt), eb('id', '>', after.id)]),
      ]),
    );
  }
  return query.orderBy('started_at', 'desc').orderBy('id').limit(asked.limit).execute();
}

/** Incidents of a site, newest first. */
export async function readIncidents(
  db: Kysely<Tables>,
  site: number,
  asked: IncidentQuery,
): Promise<readonly KeptIncident[]> {
  return incidentsOf(await rowsOf(db, site, asked), asked);
}

/** A part of the list, and where it ends; null when nothing comes after it. */
export interface IncidentPage {
  readonly incidents: readonly KeptIncident[];
  readonly last: { readonly startedAt: number; readonly id: string } | null;
}

/** Incidents of a site in parts, newest first. A part may hold fewer than its limit and go on all the same. */
export async function readIncidentPage(db: Kysely<Tables>, site: number, asked: IncidentQuery): Promise<IncidentPage> {
  const rows = await rowsOf(db, site, { ...asked, limit: asked.limit + 1 });
  const shown = rows.slice(0, asked.limit);
  const end = rows.length > shown.length ? shown.at(-1) : undefined;
  return {
    incidents: incidentsOf(shown, asked),
    last: end === undefined ? null : { startedAt: end.started_at, id: end.id },
  };
}

function incidentsOf(rows: readonly Row[], asked: IncidentQuery): readonly KeptIncident[] {
  return rows
    .map((row) => ({
      id: row.id,
      printer: row.printer,
      layer: row.layer as LayerId,
      cause: row.cause,
      component: row.component,
      startedAt: new Date(row.started_at).toISOString(),
      endedAt: row.ended_at === null ? null : new Date(row.ended_at).toISOString(),
      acknowledgedAt: row.acknowledged_at === null ? null : new Date(row.acknowledged_at).toISOString(),
      affects: JSON.parse(row.affects) as string[],
      note: row.note,
      flapping: row.flapping === 1,
    }))
    .filter(({ printer, affects }) => asked.printer === undefined || [printer, ...affects].includes(asked.printer));
}

/** The incidents that are not over, as the agent goes on with them. */
export async function openIncidents(db: Kysely<Tables>, site: number): Promise<readonly IncidentRecord[]> {
  const rows = await rowsOf(db, site, { open: true, limit: 10_000 });
  return rows.map((row) => ({
    id: row.id,
    printer: row.printer,
    layer: row.layer as LayerId,
    cause: row.cause,
    component: row.component,
    startedAt: row.started_at,
    endedAt: row.ended_at,
    affects: JSON.parse(row.affects) as string[],
    flapping: row.flapping === 1,
    told: row.told === 1,
  }));
}

/** Puts down that a person has seen an incident, and what they wrote of it. False when there is none of this id. */
export async function acknowledge(
  db: Kysely<Tables>,
  site: number,
  id: string,
  at: number,
  note: string | null,
): Promise<boolean> {
  const { numUpdatedRows } = await db
    .updateTable('incidents')
    .set({ acknowledged_at: at, ...(note === null ? {} : { note }) })
    .where('site_id', '=', site)
    .where('id', '=', id)
    .executeTakeFirst();
  return numUpdatedRows > 0n;
}
