import type { Step } from './dialect.js';

/** Test pages that people sent, and what they saw of them. */
export const testPages: Step = {
  name: '0004-test-pages',
  up: async (db, { big }) => {
    await db.schema
      .createTable('test_pages')
      .addColumn('printer_id', 'integer', (c) => c.notNull().references('printers.id'))
      .addColumn('at', big, (c) => c.notNull())
      .addColumn('via', 'text', (c) => c.notNull())
      .addColumn('uri', 'text', (c) => c.notNull())
      .addColumn('format', 'text', (c) => c.notNull())
      .addColumn('taken', 'integer', (c) => c.notNull())
      .addColumn('because', 'text', (c) => c.notNull())
      .addColumn('job_state', 'text')
      .addColumn('came_out', 'integer')
      .addPrimaryKeyConstraint('test_pages_key', ['printer_id', 'at'])
      .execute();
  },
};
