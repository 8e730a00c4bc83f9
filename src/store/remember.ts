import type { Kysely } from 'kysely';
import type { Certainty, LayerId } from '../model/layers.js';
import type { IdentityKind, IncidentRecord, SeriesOf } from './change.js';
import { openIncidents } from './incidents.js';
import type { Tables } from './tables.js';

/** What the store knows of one printer: where an agent goes on after a start. */
export interface RememberedPrinter {
  readonly name: string;
  readonly address: string;
  readonly configured: boolean;
  readonly lastAnswerAt: number | null;
  readonly goneAt: number | null;
  readonly verdict: RememberedVerdict | null;
  readonly identities: readonly { readonly kind: IdentityKind; readonly value: string; readonly lastAt: number }[];
  /** Alerts that have not ended. */
  readonly alerts: readonly RememberedAlert[];
  readonly samples: readonly { readonly series: SeriesOf; readonly at: number; readonly value: number }[];
}

export interface RememberedVerdict {
  readonly at: number;
  readonly silent: boolean | null;
  readonly layer: LayerId;
  readonly cause: string;
  readonly component: string | null;
  readonly certainty: Certainty;
  readonly summary: string;
}

export interface RememberedAlert {
  readonly code: string;
  readonly place: string;
  readonly startedAt: number;
  readonly severity: string;
  readonly description: string | null;
}

export interface Remembered {
  readonly printers: readonly RememberedPrinter[];
  readonly incidents: readonly IncidentRecord[];
  /** The latest time that is written anywhere; null in a new store. */
  readonly newest: number | null;
}

/** Reads everything an agent needs to go on where the last one stopped. */
export async function remembered(db: Kysely<Tables>, site: number): Promise<Remembered> {
  const rows = await db.selectFrom('printers').selectAll().where('site_id', '=', site).orderBy('name').execute();
  const verdicts = await latestVerdicts(db, site);
  const [identities, alerts, samples] = await Promise.all([
    identitiesOf(db, site),
    openAlerts(db, site),
    latestSamples(db, site),
  ]);
  const printers = rows.map((row) => ({
    name: row.name,
    address: row.address,
    configured: row.configured === 1,
    lastAnswerAt: row.last_answer_at,
    goneAt: row.gone_at,
    verdict: verdicts.get(row.id) ?? null,
    identities: identities.get(row.id) ?? [],
    alerts: alerts.get(row.id) ?? [],
    samples: samples.get(row.id) ?? [],
  }));
  const incidents = await openIncidents(db, site);
  const times = [
    ...printers.flatMap(({ lastAnswerAt, verdict }) => [lastAnswerAt ?? 0, verdict?.at ?? 0]),
    ...incidents.map(({ startedAt }) => startedAt),
  ];
  return { printers, incidents, newest: times.length === 0 ? null : times.reduce((a, b) => Math.max(a, b)) };
}

/** The newest of each printer is looked up by its key: going through all of them to find it would take a large site's start minutes. */
async function latestVerdicts(db: Kysely<Tables>, site: number): Promise<Map<number, RememberedVerdict>> {
  const rows = await db
    .selectFrom('verdicts as v')
    .innerJoin('printers as p', 'p.id', 'v.printer_id')
    .select(['v.printer_id', 'v.at', 'v.silent', 'v.layer', 'v.cause', 'v.component', 'v.certainty', 'v.summary'])
    .where('p.site_id', '=', site)
    .where('v.at', '=', (eb) =>
      eb
        .selectFrom('verdicts as w')
        .select((e) => e.fn.max('w.at').as('at'))
        .whereRef('w.printer_id', '=', 'p.id'),
    )
    .execute();
  return new Map(
    rows.map((row) => [
      row.printer_id,
      {
        at: row.at,
        silent: row.silent === null ? null : row.silent === 1,
        layer: row.layer as LayerId,
        cause: row.cause,
        component: row.component,
        certainty: row.certainty as Certainty,
        summary: row.summary,
      },
    ]),
  );
}

async function identitiesOf(db: Kysely<Tables>, site: number): Promise<Map<number, RememberedPrinter['identities']>> {
  const rows = await db
    .selectFrom('identities as i')
    .innerJoin('printers as p', 'p.id', 'i.printer_id')
    .select(['i.printer_id', 'i.kind', 'i.value', 'i.last_at'])
    .where('p.site_id', '=', site)
    // What it was known by first comes first.
    .orderBy('i.first_at')
    .execute();
  return grouped(rows, ({ kind, value, last_at }) => ({ kind: kind as IdentityKind, value, lastAt: last_at }));
}

async function openAlerts(db: Kysely<Tables>, site: number): Promise<Map<number, readonly RememberedAlert[]>> {
  const rows = await db
    .selectFrom('alerts as a')
    .innerJoin('printers as p', 'p.id', 'a.printer_id')
    .select(['a.printer_id', 'a.code', 'a.place', 'a.started_at', 'a.severity', 'a.description'])
    .where('p.site_id', '=', site)
    .where('a.ended_at', 'is', null)
    .execute();
  return grouped(rows, ({ code, place, started_at, severity, description }) => ({
    code,
    place,
    startedAt: started_at,
    severity,
    description,
  }));
}

/** The newest of each series, looked up in the same way. */
async function latestSamples(db: Kysely<Tables>, site: number): Promise<Map<number, RememberedPrinter['samples']>> {
  const rows = await db
    .selectFrom('samples as s')
    .innerJoin('series as r', 'r.id', 's.series_id')
    .innerJoin('printers as p', 'p.id', 'r.printer_id')
    .select(['r.printer_id', 'r.kind', 'r.place', 'r.name', 'r.type', 'r.class', 'r.colour', 'r.unit', 'r.capacity'])
    .select(['s.at', 's.value'])
    .where('p.site_id', '=', site)
    .where('s.at', '=', (eb) =>
      eb
        .selectFrom('samples as t')
        .select((e) => e.fn.max('t.at').as('at'))
        .whereRef('t.series_id', '=', 'r.id'),
    )
    .execute();
  return grouped(rows, ({ at, value, printer_id: _printer, kind, ...rest }) => ({
    at,
    value,
    series: { ...rest, kind: kind as SeriesOf['kind'] },
  }));
}

function grouped<R extends { readonly printer_id: number }, T>(
  rows: readonly R[],
  made: (row: R) => T,
): Map<number, T[]> {
  const groups = new Map<number, T[]>();
  for (const row of rows) {
    const group = groups.get(row.printer_id);
    if (group === undefined) groups.set(row.printer_id, [made(row)]);
    else group.push(made(row));
  }
  return groups;
}
