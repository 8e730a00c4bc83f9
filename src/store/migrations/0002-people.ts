import { sql } from 'kysely';
import type { Step } from './dialect.js';

/** What people add: that they have seen an incident and what helped, work that is planned; and where telling was given up. */
export const people: Step = {
  name: '0002-people',
  up: async (db, { id, big }) => {
    await db.schema.alterTable('incidents').addColumn('acknowledged_at', big).execute();
    await db.schema.alterTable('incidents').addColumn('note', 'text').execute();
    await db.schema.alterTable('outbox').addColumn('gave_up_at', big).execute();
    await db.schema
      .createTable('plans')
      .addColumn('id', 'integer', id)
      .addColumn('site_id', 'integer', (c) => c.notNull())
      .addColumn('printer', 'text')
      .addColumn('from_at', big, (c) => c.notNull())
      .addColumn('to_at', big, (c) => c.notNull())
      .addColumn('why', 'text', (c) => c.notNull())
      .execute();
    await sql`create index incidents_cause on incidents (site_id, printer, layer, cause)`.execute(db);
  },
};
