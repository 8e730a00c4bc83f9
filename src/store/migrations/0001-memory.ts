import type { CreateTableBuilder, Kysely } from 'kysely';
import type { Columns, Step } from './dialect.js';

type Table = CreateTableBuilder<string, string>;

/** Sites, printers, what they were and said, what was wrong, whom it was told. */
export const memory: Step = {
  name: '0001-memory',
  up: async (db, columns) => {
    await whoThereIs(db, columns);
    await whatTheySaid(db, columns);
    await whatWentWrong(db, columns);
  },
};

const table = (db: Kysely<unknown>, name: string): Table => db.schema.createTable(name) as Table;
const keyed = (made: Table, { keyed: how }: Columns): Table => (how === null ? made : made.modifyEnd(how));
const byTime = (made: Table, columns: Columns): Table =>
  columns.byTime === null ? keyed(made, columns) : made.modifyEnd(columns.byTime);

async function whoThereIs(db: Kysely<unknown>, columns: Columns): Promise<void> {
  const { id, big } = columns;
  await table(db, 'sites')
    .addColumn('id', 'integer', id)
    .addColumn('name', 'text', (c) => c.notNull().unique())
    .execute();
  await table(db, 'printers')
    .addColumn('id', 'integer', id)
    .addColumn('site_id', 'integer', (c) => c.notNull().references('sites.id'))
    .addColumn('name', 'text', (c) => c.notNull())
    .addColumn('address', 'text', (c) => c.notNull())
    .addColumn('configured', 'integer', (c) => c.notNull())
    .addColumn('first_seen', big, (c) => c.notNull())
    .addColumn('last_answer_at', big)
    .addColumn('gone_at', big)
    .addUniqueConstraint('printers_name', ['site_id', 'name'])
    .execute();
  await keyed(
    table(db, 'identities')
      .addColumn('printer_id', 'integer', (c) => c.notNull().references('printers.id'))
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('value', 'text', (c) => c.notNull())
      .addColumn('first_at', big, (c) => c.notNull())
      .addColumn('last_at', big, (c) => c.notNull())
      .addPrimaryKeyConstraint('identities_key', ['printer_id', 'kind', 'value']),
    columns,
  ).execute();
}

async function whatTheySaid(db: Kysely<unknown>, columns: Columns): Promise<void> {
  const { id, big, real, bytes } = columns;
  await byTime(
    table(db, 'verdicts')
      .addColumn('printer_id', 'integer', (c) => c.notNull())
      .addColumn('at', big, (c) => c.notNull())
      .addColumn('silent', 'integer')
      .addColumn('layer', 'text', (c) => c.notNull())
      .addColumn('cause', 'text', (c) => c.notNull())
      .addColumn('component', 'text')
      .addColumn('certainty', 'text', (c) => c.notNull())
      .addColumn('summary', 'text', (c) => c.notNull())
      .addColumn('evidence', bytes)
      .addPrimaryKeyConstraint('verdicts_key', ['printer_id', 'at']),
    { ...columns, keyed: null },
  ).execute();
  await keyed(
    table(db, 'alerts')
      .addColumn('printer_id', 'integer', (c) => c.notNull())
      .addColumn('code', 'text', (c) => c.notNull())
      .addColumn('place', 'text', (c) => c.notNull())
      .addColumn('started_at', big, (c) => c.notNull())
      .addColumn('ended_at', big)
      .addColumn('severity', 'text', (c) => c.notNull())
      .addColumn('description', 'text')
      .addPrimaryKeyConstraint('alerts_key', ['printer_id', 'code', 'place', 'started_at']),
    columns,
  ).execute();
  await table(db, 'series')
    .addColumn('id', 'integer', id)
    .addColumn('printer_id', 'integer', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('place', 'text', (c) => c.notNull())
    .addColumn('name', 'text', (c) => c.notNull())
    .addColumn('type', 'text', (c) => c.notNull())
    .addColumn('class', 'text', (c) => c.notNull())
    .addColumn('colour', 'text')
    .addColumn('unit', 'text')
    .addColumn('capacity', big)
    .addUniqueConstraint('series_key', ['printer_id', 'kind', 'place'])
    .execute();
  await byTime(
    table(db, 'samples')
      .addColumn('series_id', 'integer', (c) => c.notNull())
      .addColumn('at', big, (c) => c.notNull())
      .addColumn('value', real, (c) => c.notNull())
      .addPrimaryKeyConstraint('samples_key', ['series_id', 'at']),
    columns,
  ).execute();
  await keyed(
    table(db, 'rollups')
      .addColumn('series_id', 'integer', (c) => c.notNull())
      .addColumn('grain', 'integer', (c) => c.notNull())
      .addColumn('start', big, (c) => c.notNull())
      .addColumn('n', 'integer', (c) => c.notNull())
      .addColumn('low', real, (c) => c.notNull())
      .addColumn('high', real, (c) => c.notNull())
      .addColumn('last', real, (c) => c.notNull())
      .addPrimaryKeyConstraint('rollups_key', ['series_id', 'grain', 'start']),
    columns,
  ).execute();
}

async function whatWentWrong(db: Kysely<unknown>, columns: Columns): Promise<void> {
  const { big } = columns;
  await table(db, 'incidents')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('site_id', 'integer', (c) => c.notNull())
    .addColumn('printer', 'text', (c) => c.notNull())
    .addColumn('layer', 'text', (c) => c.notNull())
    .addColumn('cause', 'text', (c) => c.notNull())
    .addColumn('component', 'text')
    .addColumn('started_at', big, (c) => c.notNull())
    .addColumn('ended_at', big)
    .addColumn('affects', 'text', (c) => c.notNull())
    .addColumn('flapping', 'integer', (c) => c.notNull())
    .addColumn('told', 'integer', (c) => c.notNull())
    .execute();
  await db.schema.createIndex('incidents_started').on('incidents').columns(['site_id', 'started_at']).execute();
  await table(db, 'events')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('site_id', 'integer', (c) => c.notNull())
    .addColumn('at', big, (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('printer', 'text', (c) => c.notNull())
    .addColumn('layer', 'text')
    .addColumn('cause', 'text')
    .addColumn('summary', 'text', (c) => c.notNull())
    .addColumn('incident', 'text')
    .execute();
  await keyed(
    table(db, 'outbox')
      .addColumn('event_id', 'text', (c) => c.notNull())
      .addColumn('site_id', 'integer', (c) => c.notNull())
      .addColumn('teller', 'text', (c) => c.notNull())
      .addColumn('seq', big, (c) => c.notNull())
      .addColumn('due_at', big, (c) => c.notNull())
      .addColumn('attempts', 'integer', (c) => c.notNull())
      .addColumn('sent_at', big)
      .addColumn('message', 'text')
      .addColumn('error', 'text')
      .addPrimaryKeyConstraint('outbox_key', ['teller', 'event_id']),
    columns,
  ).execute();
  await db.schema.createIndex('outbox_open').on('outbox').columns(['site_id', 'sent_at', 'seq']).execute();
}
