import { existsSync, mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { Kysely, SqliteDialect } from 'kysely';
import Libsql from 'libsql';
import { ProgramProblem } from '../model/problem.js';
import type { Database, Lock, StoreAccess } from './database.js';
import { migrate } from './migrations/migrate.js';
import { storable } from './parameters.js';
import type { Tables } from './tables.js';

/**
 * libsql of three drivers measured: its binaries come inside registry packages and need no install script (1.4 s,
 * 19 MB), it writes ahead and syncs as SQLite does (20 of 20 kills lost nothing), and one `node_modules` serves every
 * Node line. better-sqlite3 compiles for 51 s and needs a compiler; node-sqlite3-wasm can write ahead only with the file
 * locked for everybody else.
 */

/** How long to wait for another process that is writing. */
const BUSY_MS = 5_000;
/** Prepared statements that are kept: preparing one costs more than running it. */
const MOST_STATEMENTS = 200;

/** Opens or makes the database file. `readOnly`: for looking into what an agent keeps, never making or changing it. */
export async function openSqlite(file: string, { readOnly = false, upTo }: StoreAccess = {}): Promise<Database> {
  const handle = openFile(file, readOnly);
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database: cached(handle) }) });
  try {
    handle.exec(`PRAGMA busy_timeout = ${BUSY_MS}`);
    if (readOnly) {
      handle.exec('PRAGMA query_only = ON');
    } else {
      handle.exec('PRAGMA journal_mode = WAL');
      handle.exec('PRAGMA synchronous = FULL');
      handle.exec('PRAGMA wal_autocheckpoint = 500');
      handle.exec('PRAGMA journal_size_limit = 4194304');
      await migrateTogether(db, upTo);
    }
  } catch (error) {
    await db.destroy();
    throw explained(file, error);
  }
  return {
    dialect: 'sqlite',
    db,
    shown: `sqlite:${file}`,
    makeRoom: async () => undefined,
    lock: async () => lockFile(`${file}.lock`),
    size: async () => ['', '-wal'].reduce((sum, end) => sum + sizeOf(`${file}${end}`), 0),
    close: () => db.destroy(),
  };
}

function openFile(file: string, readOnly: boolean): Libsql.Database {
  try {
    if (readOnly && !existsSync(file)) throw new Error('unable to open: there is no such file');
    if (!readOnly) mkdirSync(dirname(file), { recursive: true });
    return new Libsql(file);
  } catch (error) {
    throw explained(file, error);
  }
}

/** Of several that start at once one makes the tables; the others find them there when they look again. */
async function migrateTogether(db: Kysely<Tables>, upTo: string | undefined): Promise<void> {
  for (let tries = 1; ; tries++) {
    try {
      return await migrate(db, 'sqlite', upTo);
    } catch (error) {
      const raced = /already exists|duplicate column|SQLITE_BUSY|UNIQUE constraint failed: outfeed_steps/;
      if (tries === 10 || !raced.test(`${(error as { code?: unknown }).code} ${(error as Error).message}`)) throw error;
      await delay(50 * tries);
    }
  }
}

function sizeOf(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.size ?? 0;
}

/** One statement object for one text of SQL, the oldest forgotten first. */
function cached(handle: Libsql.Database) {
  const kept = new Map<string, Libsql.Statement<unknown[]>>();
  return {
    close: () => {
      kept.clear();
      handle.close();
    },
    prepare: (text: string) => {
      const known = kept.get(text);
      if (known !== undefined) return adapted(known, text);
      const made = handle.prepare(text);
      kept.set(text, made);
      const [oldest] = kept.keys();
      if (kept.size > MOST_STATEMENTS && oldest !== undefined) kept.delete(oldest);
      return adapted(made, text);
    },
  };
}

function adapted(statement: Libsql.Statement<unknown[]>, text: string) {
  const run = (parameters: readonly unknown[]) => statement.run(...storable(parameters));
  return {
    reader: statement.reader,
    all: (parameters: readonly unknown[]) => statement.all(...storable(parameters)),
    run: text.toLowerCase() === 'rollback' ? () => rollBack(() => run([])) : run,
    iterate: (parameters: readonly unknown[]) =>
      statement.iterate(...storable(parameters)) as IterableIterator<unknown>,
  };
}

/**
 * A full disk or a failing one ends a transaction by itself (SQLite, "Response To Errors Within A Transaction"). That there is
 * none left to roll back is then no news, and must not hide what the matter was.
 */
function rollBack(run: () => Libsql.RunResult): Libsql.RunResult {
  try {
    return run();
  } catch (error) {
    if (/no transaction is active/.test((error as Error).message)) return { changes: 0, lastInsertRowid: 0 };
    throw error;
  }
}

/**
 * A lock that the system lets go of when the process ends, however it ends: an exclusive transaction on a file beside the
 * database, held open.
 */
function lockFile(file: string): Lock | null {
  const handle = openFile(file, false);
  try {
    handle.exec('PRAGMA busy_timeout = 0');
    handle.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    handle.close();
    if (/SQLITE_BUSY/.test(String((error as { code?: unknown }).code))) return null;
    throw explained(file, error);
  }
  let held = true;
  return {
    held: () => held,
    release: async () => {
      if (!held) return;
      held = false;
      handle.exec('ROLLBACK');
      handle.close();
    },
  };
}

const REASONS: readonly (readonly [RegExp, string])[] = [
  [
    /CANTOPEN|unable to open|Unable to open/i,
    'it can not be opened: is the folder there, and may this user write to it',
  ],
  [/NOTADB|not a database/i, 'it is no SQLite database'],
  [/CORRUPT|malformed/i, 'it is damaged: move it away and start again, or put back a copy'],
  [/READONLY|readonly/i, 'it may only be read'],
  [/FULL|disk is full/i, 'the disk is full'],
];

/** An error of the driver as one sentence, where it is one that a person can mend; else as it is. */
export function explained(file: string, error: unknown): unknown {
  if (error instanceof ProgramProblem) return error;
  const text = `${(error as { code?: unknown }).code ?? ''} ${(error as Error).message ?? ''}`;
  const reason = REASONS.find(([pattern]) => pattern.test(text))?.[1];
  return reason === undefined ? error : new ProgramProblem('store-file', `The store ${file} can't be used: ${reason}.`);
}
