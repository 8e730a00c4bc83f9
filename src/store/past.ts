import { inflateRawSync } from 'node:zlib';
import { type Kysely, sql } from 'kysely';
import type { PastAlert } from '../model/history.js';
import type { LayerId } from '../model/layers.js';
import { readTestPageRecord, type TestPageRecord } from '../model/testpage.js';
import type { EvidenceBundle } from '../model/why.js';
import type { IdentityKind, SeriesOf } from './change.js';
import type { KeptCount } from './held.js';
import type { RememberedVerdict } from './remember.js';
import { DAY } from './samples.js';
import type { Tables } from './tables.js';

/** What was once known of a printer, for judging what is seen of it now. Times are milliseconds since 1970. */
export interface Past {
  readonly firstSeen: number;
  readonly lastAnswerAt: number | null;
  /** Newest first. */
  readonly verdicts: readonly RememberedVerdict[];
  readonly identities: readonly {
    readonly kind: IdentityKind;
    readonly value: string;
    readonly firstAt: number;
    readonly lastAt: number;
  }[];
  /** When it came up, newest first: each a start of the device. */
  readonly starts: readonly number[];
  readonly pages: readonly { readonly at: number; readonly value: number }[];
  /** Test pages that people sent, newest first. */
  readonly testPages: readonly { readonly at: number; readonly page: TestPageRecord }[];
}

const MOST = 20;

/** The past of one printer; undefined when the store does not know it. */
export async function readPast(db: Kysely<Tables>, site: number, printer: string): Promise<Past | undefined> {
  const row = await db
    .selectFrom('printers')
    .select(['id', 'first_seen', 'last_answer_at'])
    .where('site_id', '=', site)
    .where('name', '=', printer)
    .executeTakeFirst();
  if (row === undefined) return undefined;
  const verdicts = await db
    .selectFrom('verdicts')
    .select(['at', 'silent', 'layer', 'cause', 'component', 'certainty', 'summary'])
    .where('printer_id', '=', row.id)
    .orderBy('at', 'desc')
    .limit(MOST)
    .execute();
  const identities = await db
    .selectFrom('identities')
    .select(['kind', 'value', 'first_at', 'last_at'])
    .where('printer_id', '=', row.id)
    .orderBy('first_at', 'desc')
    .limit(5 * MOST)
    .execute();
  const newest = (kind: SeriesOf['kind']) =>
    db
      .selectFrom('samples as s')
      .innerJoin('series as r', 'r.id', 's.series_id')
      .select(['s.at', 's.value'])
      .where('r.printer_id', '=', row.id)
      .where('r.kind', '=', kind)
      .orderBy('s.at', 'desc')
      .limit(MOST)
      .execute();
  return {
    firstSeen: row.first_seen,
    lastAnswerAt: row.last_answer_at,
    verdicts: verdicts.map(({ silent, ...rest }) => ({
      ...rest,
      silent: silent === null ? null : silent === 1,
      layer: rest.layer as LayerId,
      certainty: rest.certainty as RememberedVerdict['certainty'],
    })),
    identities: identities.map(({ kind, value, first_at, last_at }) => ({
      kind: kind as IdentityKind,
      value,
      firstAt: first_at,
      lastAt: last_at,
    })),
    starts: (await newest('booted')).map(({ value }) => value),
    pages: await newest('pages'),
    testPages: await readTestPages(db, row.id),
  };
}

async function readTestPages(db: Kysely<Tables>, printer: number): Promise<Past['testPages']> {
  const rows = await db
    .selectFrom('test_pages')
    .selectAll()
    .where('printer_id', '=', printer)
    .orderBy('at', 'desc')
    .limit(MOST)
    .execute();
  return rows.flatMap(({ at, via, uri, format, taken, because, job_state, came_out }) => {
    const page = readTestPageRecord({
      via,
      to: uri,
      format,
      taken: taken === 1,
      because,
      jobState: job_state,
      cameOut: came_out === null ? null : came_out === 1,
    });
    return page === undefined ? [] : [{ at, page }];
  });
}

/** The evidence that was kept with the verdict of this time; undefined when none was, or it has been let go. */
export async function readEvidence(
  db: Kysely<Tables>,
  site: number,
  printer: string,
  at: number,
): Promise<EvidenceBundle | undefined> {
  const row = await db
    .selectFrom('verdicts as v')
    .innerJoin('printers as p', 'p.id', 'v.printer_id')
    .select('v.evidence')
    .where('p.site_id', '=', site)
    .where('p.name', '=', printer)
    .where('v.at', '=', at)
    .executeTakeFirst();
  if (!row?.evidence) return undefined;
  return JSON.parse(inflateRawSync(row.evidence).toString('utf8')) as EvidenceBundle;
}

/** Of a site, or of one of its printers. */
interface Kept {
  readonly site: number;
  readonly kinds: readonly SeriesOf['kind'][];
  readonly since: number;
  readonly printer: string | undefined;
}

/** Changes where they are still kept, the last of each day further back: series_id, at, value. Those of other series are not looked at. */
function kept({ site, kinds, since, printer }: Kept) {
  const only = printer === undefined ? sql`` : sql`and q.name = ${printer}`;
  const wanted = sql`
    select w.id from series w join printers q on q.id = w.printer_id
    where q.site_id = ${site} and w.kind in (${sql.join(kinds)}) ${only}`;
  return sql`
    select series_id, at, value from samples where series_id in (${wanted}) and at >= ${since}
    union all
    select u.series_id, u.start + ${DAY - 1} as at, u.last as value from rollups u
    where u.series_id in (${wanted}) and u.grain = 2 and u.start >= ${since}
      and not exists (
        select 1 from samples s where s.series_id = u.series_id and s.at >= u.start and s.at < u.start + ${DAY})`;
}

/** One reading of a supply, with the page counter at that time where it is known. */
export interface KeptLevel {
  readonly printer: string;
  readonly series: SeriesOf;
  readonly at: number;
  readonly level: number;
  readonly pages: number | null;
}

/**
 * The levels of a printer's supplies over time, or of all printers of the site, oldest first: each change where it is still
 * kept, the last of each day further back. Pages are those counted by then.
 */
export async function readLevels(
  db: Kysely<Tables>,
  site: number,
  since: number,
  printer?: string,
): Promise<readonly KeptLevel[]> {
  const { rows } = await sql<{
    printer: string;
    kind: SeriesOf['kind'];
    place: string;
    name: string;
    type: string;
    class: string;
    colour: string | null;
    unit: string | null;
    capacity: number | null;
    at: number;
    value: number;
  }>`
    select p.name as printer, r.kind, r.place, r.name, r.type, r.class, r.colour, r.unit, r.capacity, x.at, x.value
    from series r
    join printers p on p.id = r.printer_id
    join (${kept({ site, kinds: ['level', 'pages'], since, printer })}) x on x.series_id = r.id
    where p.site_id = ${site}
    order by p.name, x.at, case when r.kind = 'pages' then 0 else 1 end, r.place
  `.execute(db);
  const pages = new Map<string, number>();
  const levels: KeptLevel[] = [];
  for (const { printer: of, at, value, ...series } of rows) {
    if (series.kind === 'pages') pages.set(of, value);
    else levels.push({ printer: of, series, at, level: value, pages: pages.get(of) ?? null });
  }
  return levels;
}

/**
 * The page counters of the site's printers, or of one of them, over time, oldest first: each change where it is kept, the last of each
 * day further back.
 */
export async function readCounts(
  db: Kysely<Tables>,
  site: number,
  since: number,
  printer?: string,
): Promise<readonly KeptCount[]> {
  const { rows } = await sql<KeptCount>`
    select p.name as printer, x.at, x.value as pages
    from series r
    join printers p on p.id = r.printer_id
    join (${kept({ site, kinds: ['pages'], since, printer })}) x on x.series_id = r.id
    where p.site_id = ${site}
    order by p.name, x.at
  `.execute(db);
  return rows;
}

/** How a printer was found from this moment on. */
export interface KeptFound {
  readonly printer: string;
  readonly at: number;
  readonly silent: boolean | null;
  readonly cause: string;
}

/** How the site's printers were found since then, oldest first, the last that was found before then included. */
export async function readFound(db: Kysely<Tables>, site: number, since: number): Promise<readonly KeptFound[]> {
  const before = sql`(select max(w.at) from verdicts w where w.printer_id = v.printer_id and w.at < ${since})`;
  const rows = await db
    .selectFrom('verdicts as v')
    .innerJoin('printers as p', 'p.id', 'v.printer_id')
    .select(['p.name as printer', 'v.at', 'v.silent', 'v.cause'])
    .where('p.site_id', '=', site)
    .where((eb) => eb.or([eb('v.at', '>=', since), sql<boolean>`v.at = ${before}`]))
    .orderBy('p.name')
    .orderBy('v.at')
    .execute();
  return rows.map(({ silent, ...row }) => ({ ...row, silent: silent === null ? null : silent === 1 }));
}

/** Printer → since when it is watched. */
export async function readFirstSeen(db: Kysely<Tables>, site: number): Promise<ReadonlyMap<string, number>> {
  const rows = await db.selectFrom('printers').select(['name', 'first_seen']).where('site_id', '=', site).execute();
  return new Map(rows.map(({ name, first_seen: at }) => [name, at]));
}

/** Printer → when it last answered. */
export async function readAnswers(db: Kysely<Tables>, site: number): Promise<ReadonlyMap<string, number>> {
  const rows = await db.selectFrom('printers').select(['name', 'last_answer_at']).where('site_id', '=', site).execute();
  return new Map(rows.flatMap(({ name, last_answer_at: at }) => (at === null ? [] : [[name, at] as const])));
}

/** Alerts that began since then, oldest first. The part is named as the alert table has it, such as `input 2`. */
export async function readAlerts(db: Kysely<Tables>, site: number, since: number): Promise<readonly PastAlert[]> {
  return await db
    .selectFrom('alerts as a')
    .innerJoin('printers as p', 'p.id', 'a.printer_id')
    .select(['p.name as printer', 'a.started_at as at', 'a.code', 'a.place as component'])
    .where('p.site_id', '=', site)
    .where('a.started_at', '>=', since)
    .orderBy('a.started_at')
    .execute();
}

/** Printer → the model that it last said it is. */
export async function readModels(db: Kysely<Tables>, site: number): Promise<ReadonlyMap<string, string>> {
  const rows = await db
    .selectFrom('identities as i')
    .innerJoin('printers as p', 'p.id', 'i.printer_id')
    .select(['p.name', 'i.value'])
    .where('p.site_id', '=', site)
    .where('i.kind', '=', 'model')
    .orderBy('i.last_at')
    .execute();
  return new Map(rows.map(({ name, value }) => [name, value]));
}
