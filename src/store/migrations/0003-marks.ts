import type { Step } from './dialect.js';

/** When something that is done now and then was last done: the sweep, the letting go of what is old. */
export const marks: Step = {
  name: '0003-marks',
  up: async (db, { big }) => {
    await db.schema
      .createTable('marks')
      .addColumn('site_id', 'integer', (c) => c.notNull())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('at', big, (c) => c.notNull())
      .addPrimaryKeyConstraint('marks_key', ['site_id', 'name'])
      .execute();
  },
};
