import { type Kysely, sql } from 'kysely';
import type { Database } from './database.js';
import { monthOf } from './months.js';
import { PARTED } from './postgres.js';
import { DAY } from './samples.js';
import type { Tables } from './tables.js';

/** Every single change of a number is kept for so long; afterwards what it came to by the hour, then by the day. */
const EACH_CHANGE_MS = 35 * DAY;
const HOURS_MS = 90 * DAY;
/** Verdicts of one printer that keep their evidence: the newest. */
const EVIDENCE_EACH = 20;

/**
 * Lets go of what is older than `keepMs` of one site, and of detail sooner. Days are kept as long as the rest. Other sites of the
 * database have agents and times of their own.
 */
export async function retain(database: Database, site: number, now: number, keepMs: number): Promise<void> {
  const { db } = database;
  const before = now - keepMs;
  await oldSamples(database, site, now - Math.min(EACH_CHANGE_MS, keepMs));
  await db
    .deleteFrom('rollups')
    .where('series_id', 'in', seriesOf(db, site))
    .where('grain', '=', 1)
    .where('start', '<', now - Math.min(HOURS_MS, keepMs))
    .execute();
  await db.deleteFrom('rollups').where('series_id', 'in', seriesOf(db, site)).where('start', '<', before).execute();
  await oldVerdicts(db, site, before);
  await db
    .deleteFrom('alerts')
    .where('printer_id', 'in', printersOf(db, site))
    .where('ended_at', '<', before)
    .execute();
  await db.deleteFrom('incidents').where('site_id', '=', site).where('ended_at', '<', before).execute();
  await db
    .deleteFrom('outbox')
    .where('site_id', '=', site)
    .where((eb) => eb.or([eb('sent_at', '<', before), eb('gave_up_at', '<', before)]))
    .execute();
  await db
    .deleteFrom('events')
    .where('site_id', '=', site)
    .where('at', '<', before)
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('outbox').select('event_id').whereRef('outbox.event_id', '=', 'events.id'))),
    )
    .execute();
  await db.deleteFrom('test_pages').where('printer_id', 'in', printersOf(db, site)).where('at', '<', before).execute();
  await db.deleteFrom('plans').where('site_id', '=', site).where('to_at', '<', before).execute();
  await oldEvidence(db, site);
}

function printersOf(db: Kysely<Tables>, site: number) {
  return db.selectFrom('printers').select('printers.id').where('site_id', '=', site);
}

function seriesOf(db: Kysely<Tables>, site: number) {
  return db.selectFrom('series').select('series.id').where('printer_id', 'in', printersOf(db, site));
}

/** The newest sample of each series stays whatever its age: a start goes on from it. */
async function oldSamples({ db, dialect }: Database, site: number, before: number): Promise<void> {
  const newest = sql`(select max(t.at) from samples t where t.series_id = samples.series_id)`;
  await db
    .deleteFrom('samples')
    .where('series_id', 'in', seriesOf(db, site))
    .where('at', '<', before)
    .where(sql<boolean>`at < ${newest}`)
    .execute();
  if (dialect === 'postgres') await dropEmptyParts(db, before);
}

async function oldVerdicts(db: Kysely<Tables>, site: number, before: number): Promise<void> {
  const newest = sql`(select max(w.at) from verdicts w where w.printer_id = verdicts.printer_id)`;
  await db
    .deleteFrom('verdicts')
    .where('printer_id', 'in', printersOf(db, site))
    .where('at', '<', before)
    .where(sql<boolean>`at < ${newest}`)
    .execute();
}

/** Parts of PostgreSQL's tables that hold nothing any more. */
async function dropEmptyParts(db: Kysely<Tables>, before: number): Promise<void> {
  for (const table of PARTED) {
    const { rows } = await sql<{ name: string }>`
      select c.relname as name from pg_inherits i join pg_class c on c.oid = i.inhrelid
      where i.inhparent = ${table}::regclass`.execute(db);
    for (const { name } of rows) {
      const month = Number(/_m(-?\d+)$/.exec(name)?.[1] ?? Number.NaN);
      if (!(month < monthOf(before))) continue;
      const part = sql.table(name);
      const { rows: left } = await sql`select 1 from ${part} limit 1`.execute(db);
      if (left.length === 0) await sql`drop table if exists ${part}`.execute(db);
    }
  }
}

async function oldEvidence(db: Kysely<Tables>, site: number): Promise<void> {
  await sql`
    update verdicts set evidence = null
    where evidence is not null and printer_id in (select id from printers where site_id = ${site}) and (
      select count(*) from verdicts w
      where w.printer_id = verdicts.printer_id and w.evidence is not null and w.at > verdicts.at
    ) >= ${EVIDENCE_EACH}`.execute(db);
}
