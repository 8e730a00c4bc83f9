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
 * database have agents and times of their own. One printer after the other: after a year in which nobody did this, one statement for all
 * would take longer than the database lets it.
 */
export async function retain(database: Database, site: number, now: number, keepMs: number): Promise<void> {
  const { db, dialect } = database;
  const before = now - keepMs;
  const eachChange = now - Math.min(EACH_CHANGE_MS, keepMs);
  const printers = await db.selectFrom('printers').select('id').where('site_id', '=', site).execute();
  for (const { id } of printers) {
    await oldSamples(db, id, eachChange);
    await oldRollups(db, id, before, now - Math.min(HOURS_MS, keepMs));
    await oldVerdicts(db, id, before);
    await oldEvidence(db, id);
    await db.deleteFrom('alerts').where('printer_id', '=', id).where('ended_at', '<', before).execute();
    await db.deleteFrom('test_pages').where('printer_id', '=', id).where('at', '<', before).execute();
  }
  if (dialect === 'postgres') await dropEmptyParts(db, eachChange);
  await oldOfSite(db, site, before);
}

async function oldOfSite(db: Kysely<Tables>, site: number, before: number): Promise<void> {
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
  await db.deleteFrom('plans').where('site_id', '=', site).where('to_at', '<', before).execute();
}

function seriesOf(db: Kysely<Tables>, printer: number) {
  return db.selectFrom('series').select('series.id').where('printer_id', '=', printer);
}

/** The newest sample of each series stays whatever its age: a start goes on from it. */
async function oldSamples(db: Kysely<Tables>, printer: number, before: number): Promise<void> {
  const newest = sql`(select max(t.at) from samples t where t.series_id = samples.series_id)`;
  await db
    .deleteFrom('samples')
    .where('series_id', 'in', seriesOf(db, printer))
    .where('at', '<', before)
    .where(sql<boolean>`at < ${newest}`)
    .execute();
}

async function oldRollups(db: Kysely<Tables>, printer: number, before: number, hoursBefore: number): Promise<void> {
  const own = () => db.deleteFrom('rollups').where('series_id', 'in', seriesOf(db, printer));
  await own().where('grain', '=', 1).where('start', '<', hoursBefore).execute();
  await own().where('start', '<', before).execute();
}

async function oldVerdicts(db: Kysely<Tables>, printer: number, before: number): Promise<void> {
  const newest = sql`(select max(w.at) from verdicts w where w.printer_id = verdicts.printer_id)`;
  await db
    .deleteFrom('verdicts')
    .where('printer_id', '=', printer)
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

async function oldEvidence(db: Kysely<Tables>, printer: number): Promise<void> {
  await sql`
    update verdicts set evidence = null
    where evidence is not null and printer_id = ${printer} and (
      select count(*) from verdicts w
      where w.printer_id = verdicts.printer_id and w.evidence is not null and w.at > verdicts.at
    ) >= ${EVIDENCE_EACH}`.execute(db);
}
