import { type ColumnDefinitionBuilder, type Kysely, sql } from 'kysely';

export type Dialect = 'sqlite' | 'postgres';

/** What differs between the two databases, in one place. */
export interface Columns {
  readonly dialect: Dialect;
  /** A number that the database gives out. */
  readonly id: (column: ColumnDefinitionBuilder) => ColumnDefinitionBuilder;
  /** Whole numbers beyond 32 bits. */
  readonly big: 'integer' | 'bigint';
  readonly real: 'real' | 'double precision';
  readonly bytes: 'blob' | 'bytea';
  /** What makes a table a sequence of parts by time, where the database has such. */
  readonly byTime: ReturnType<typeof sql> | null;
  /** Keeps rows within their key, where that is a choice. */
  readonly keyed: ReturnType<typeof sql> | null;
}

export function columnsOf(dialect: Dialect): Columns {
  if (dialect === 'sqlite') {
    return {
      dialect,
      id: (column) => column.primaryKey().autoIncrement(),
      big: 'integer',
      real: 'real',
      bytes: 'blob',
      byTime: null,
      keyed: sql`without rowid`,
    };
  }
  return {
    dialect,
    id: (column) => column.primaryKey().generatedByDefaultAsIdentity(),
    big: 'bigint',
    real: 'double precision',
    bytes: 'bytea',
    byTime: sql`partition by range (at)`,
    keyed: null,
  };
}

/** One step forward. There are none back. */
export interface Step {
  readonly name: string;
  readonly up: (db: Kysely<unknown>, columns: Columns) => Promise<void>;
}
