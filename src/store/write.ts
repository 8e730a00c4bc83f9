import { deflateRawSync } from 'node:zlib';
import { type Kysely, sql } from 'kysely';
import type { Change, SeriesOf } from './change.js';
import type { Database } from './database.js';
import { insertSamples } from './samples.js';
import type { Tables } from './tables.js';

type Of<K extends Change['kind']> = Extract<Change, { readonly kind: K }>;

/** Numbers that the database gave to sites, printers and series. Filled only by what was really kept. */
export class Numbers {
  readonly printers = new Map<string, number>();
  readonly series = new Map<string, number>();
  constructor(readonly site: number) {}
}

/** Gives the number of a site, making it on first use. */
export async function siteNumber(db: Kysely<Tables>, name: string): Promise<number> {
  await db
    .insertInto('sites')
    .values({ name })
    .onConflict((c) => c.column('name').doNothing())
    .execute();
  return (await db.selectFrom('sites').select('id').where('name', '=', name).executeTakeFirstOrThrow()).id;
}

/** Writes changes in one transaction: all of them stand afterwards, or none. */
export async function applyChanges(
  { db, makeRoom }: Database,
  numbers: Numbers,
  changes: readonly Change[],
): Promise<void> {
  const timed = changes.flatMap((c) => (c.kind === 'sample' || c.kind === 'verdict' ? [c.at] : []));
  if (timed.length > 0) await makeRoom(db, timed);
  const fresh = new Numbers(numbers.site);
  await db.transaction().execute(async (on) => {
    const write = new Write(on, numbers, fresh);
    await write.all(changes);
  });
  for (const [name, id] of fresh.printers) numbers.printers.set(name, id);
  for (const [key, id] of fresh.series) numbers.series.set(key, id);
}

class Write {
  constructor(
    private readonly db: Kysely<Tables>,
    private readonly known: Numbers,
    private readonly fresh: Numbers,
  ) {}

  async all(changes: readonly Change[]): Promise<void> {
    const of = <K extends Change['kind']>(kind: K): readonly Of<K>[] =>
      changes.filter((change): change is Of<K> => change.kind === kind);
    for (const change of of('printer')) await this.printer(change);
    for (const change of of('identity')) await this.identity(change);
    for (const change of of('verdict')) await this.verdict(change);
    for (const change of of('alert')) await this.alert(change);
    await this.samples(of('sample'));
    for (const change of of('test-page')) await this.testPage(change);
    for (const change of of('incident')) await this.incident(change);
    for (const change of of('event')) await this.event(change);
  }

  private async printer(change: Of<'printer'>): Promise<void> {
    const { id } = await this.db
      .insertInto('printers')
      .values({
        site_id: this.known.site,
        name: change.printer,
        address: change.address,
        configured: change.configured ? 1 : 0,
        first_seen: change.at,
        last_answer_at: change.lastAnswerAt,
        gone_at: change.goneAt,
      })
      .onConflict((c) =>
        c.columns(['site_id', 'name']).doUpdateSet({
          address: change.address,
          configured: change.configured ? 1 : 0,
          ...(change.lastAnswerAt === null ? {} : { last_answer_at: change.lastAnswerAt }),
          gone_at: change.goneAt,
        }),
      )
      .returning('id')
      .executeTakeFirstOrThrow();
    this.fresh.printers.set(change.printer, id);
  }

  /** A printer that something is said of before it was announced itself is put down with what is known: its name. */
  private async printerNumber(printer: string, at: number): Promise<number> {
    const known = this.fresh.printers.get(printer) ?? this.known.printers.get(printer);
    if (known !== undefined) return known;
    await this.db
      .insertInto('printers')
      .values({ site_id: this.known.site, name: printer, address: '', configured: 0, first_seen: at })
      .onConflict((c) => c.columns(['site_id', 'name']).doNothing())
      .execute();
    const { id } = await this.db
      .selectFrom('printers')
      .select('id')
      .where('site_id', '=', this.known.site)
      .where('name', '=', printer)
      .executeTakeFirstOrThrow();
    this.fresh.printers.set(printer, id);
    return id;
  }

  private async identity({ printer, what, value, at }: Of<'identity'>): Promise<void> {
    await this.db
      .insertInto('identities')
      .values({ printer_id: await this.printerNumber(printer, at), kind: what, value, first_at: at, last_at: at })
      .onConflict((c) => c.columns(['printer_id', 'kind', 'value']).doUpdateSet({ last_at: at }))
      .execute();
  }

  private async verdict(change: Of<'verdict'>): Promise<void> {
    const { evidence } = change;
    await this.db
      .insertInto('verdicts')
      .values({
        printer_id: await this.printerNumber(change.printer, change.at),
        at: change.at,
        silent: change.silent === null ? null : Number(change.silent),
        layer: change.layer,
        cause: change.cause,
        component: change.component,
        certainty: change.certainty,
        summary: change.summary,
        evidence: evidence === null ? null : deflateRawSync(JSON.stringify(evidence), { level: 9 }),
      })
      .onConflict((c) => c.columns(['printer_id', 'at']).doNothing())
      .execute();
  }

  private async alert(change: Of<'alert'>): Promise<void> {
    await this.db
      .insertInto('alerts')
      .values({
        printer_id: await this.printerNumber(change.printer, change.startedAt),
        code: change.code,
        place: change.place,
        started_at: change.startedAt,
        ended_at: change.endedAt,
        severity: change.severity,
        description: change.description,
      })
      .onConflict((c) =>
        c.columns(['printer_id', 'code', 'place', 'started_at']).doUpdateSet({ ended_at: change.endedAt }),
      )
      .execute();
  }

  private async samples(changes: readonly Of<'sample'>[]): Promise<void> {
    const rows = [];
    for (const { printer, series, at, value } of changes) {
      rows.push({ series_id: await this.seriesNumber(printer, series, at), at, value });
    }
    if (rows.length > 0) await insertSamples(this.db, rows);
  }

  private async seriesNumber(printer: string, of: SeriesOf, at: number): Promise<number> {
    // What it is called and how much it holds may change with a cartridge; then it is written again.
    const key = JSON.stringify([printer, of]);
    const known = this.fresh.series.get(key) ?? this.known.series.get(key);
    if (known !== undefined) return known;
    const { kind, place, name, type, colour, unit, capacity } = of;
    const said = { name, type, class: of.class, colour, unit, capacity };
    const { id } = await this.db
      .insertInto('series')
      .values({ printer_id: await this.printerNumber(printer, at), kind, place, ...said })
      .onConflict((c) => c.columns(['printer_id', 'kind', 'place']).doUpdateSet(said))
      .returning('id')
      .executeTakeFirstOrThrow();
    this.fresh.series.set(key, id);
    return id;
  }

  private async testPage({ printer, at, page }: Of<'test-page'>): Promise<void> {
    await this.db
      .insertInto('test_pages')
      .values({
        printer_id: await this.printerNumber(printer, at),
        at,
        via: page.via,
        uri: page.to,
        format: page.format,
        taken: page.taken ? 1 : 0,
        because: page.because,
        job_state: page.jobState,
        came_out: page.cameOut === null ? null : Number(page.cameOut),
      })
      .onConflict((c) => c.columns(['printer_id', 'at']).doNothing())
      .execute();
  }

  private async incident({ incident }: Of<'incident'>): Promise<void> {
    const changing = {
      printer: incident.printer,
      component: incident.component,
      ended_at: incident.endedAt,
      affects: JSON.stringify(incident.affects),
      flapping: incident.flapping ? 1 : 0,
      told: incident.told ? 1 : 0,
    };
    await this.db
      .insertInto('incidents')
      .values({
        id: incident.id,
        site_id: this.known.site,
        layer: incident.layer,
        cause: incident.cause,
        started_at: incident.startedAt,
        ...changing,
      })
      .onConflict((c) => c.column('id').doUpdateSet(changing))
      .execute();
  }

  private async event({ event, incident, tell }: Of<'event'>): Promise<void> {
    await this.db
      .insertInto('events')
      .values({
        id: event.id,
        site_id: this.known.site,
        at: Date.parse(event.at),
        kind: event.kind,
        printer: event.printer,
        layer: event.layer,
        cause: event.cause,
        summary: event.summary,
        incident,
      })
      .onConflict((c) => c.column('id').doNothing())
      .execute();
    for (const { teller, dueAt } of tell) {
      await this.db
        .insertInto('outbox')
        .values({
          event_id: event.id,
          site_id: this.known.site,
          teller,
          seq: sql<number>`(select coalesce(max(seq), 0) + 1 from outbox where site_id = ${this.known.site})`,
          due_at: dueAt,
          attempts: 0,
        })
        .onConflict((c) => c.columns(['teller', 'event_id']).doNothing())
        .execute();
    }
  }
}
