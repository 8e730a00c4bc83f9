import { type Kysely, Migrator } from 'kysely';
import { ProgramProblem } from '../../model/problem.js';
import type { Tables } from '../tables.js';
import { memory } from './0001-memory.js';
import { people } from './0002-people.js';
import { marks } from './0003-marks.js';
import { testPages } from './0004-test-pages.js';
import { columnsOf, type Dialect } from './dialect.js';

/** All steps, in order. A step that was once released is never changed: what it should have done is done by the next. */
export const STEPS = [memory, people, marks, testPages] as const;

/** Brings a database to the newest form, or, for tests, to an earlier one. Safe when several agents start at once. */
export async function migrate(db: Kysely<Tables>, dialect: Dialect, upTo?: string): Promise<void> {
  const columns = columnsOf(dialect);
  const migrations = Object.fromEntries(
    STEPS.map(({ name, up }) => [name, { up: (on: Kysely<unknown>) => up(on, columns) }]),
  );
  const migrator = new Migrator({
    db,
    provider: { getMigrations: async () => migrations },
    migrationTableName: 'outfeed_steps',
    migrationLockTableName: 'outfeed_steps_lock',
  });
  const { error } = upTo === undefined ? await migrator.migrateToLatest() : await migrator.migrateTo(upTo);
  if (error === undefined) return;
  if (/corrupted migrations/.test(String((error as Error).message))) {
    throw new ProgramProblem(
      'store-newer',
      'The store was written by a newer version of this program; run that one, or name another store.',
    );
  }
  throw error;
}
