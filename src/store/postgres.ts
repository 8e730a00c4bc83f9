import { Kysely, PostgresDialect, sql } from 'kysely';
import pg from 'pg';
import { ProgramProblem } from '../model/problem.js';
import type { Database, Lock, StoreAccess } from './database.js';
import { migrate } from './migrations/migrate.js';
import { monthOf, monthStart } from './months.js';
import { guardedPool } from './postgres-pool.js';
import type { Tables } from './tables.js';

/** Tables that are kept in parts, one a month, so that old ones go in one piece. */
export const PARTED = ['samples', 'verdicts'] as const;

/** int8 (oid 20): times and counts, all below 2^53. */
const BIG = 20;
const CONNECT_MS = 5_000;
/** No statement of ours takes long; one that does is stuck behind somebody else. */
const STATEMENT_MS = 30_000;
/** A server that lost its power or its network ends no statement any more: then nothing is waited for here either. */
const ANSWER_MS = STATEMENT_MS + 15_000;
/** So long after the last word each side asks whether the other is still there. */
const KEEP_ALIVE_MS = 30_000;
/**
 * The server's side of it (PostgreSQL, "Connection Settings"): its usual two hours would keep the lock and the rows of an agent whose
 * machine lost its power, and the one that starts there again could not go on.
 */
const SERVER_KEEP_ALIVE = '-c tcp_keepalives_idle=30 -c tcp_keepalives_interval=10 -c tcp_keepalives_count=3';
const CONNECTIONS = 2;

/** Opens the database of a URL and brings it to the newest form. */
export async function openPostgres(url: string, { readOnly = false, upTo }: StoreAccess = {}): Promise<Database> {
  const settings = settingsOf(url);
  const pool = new pg.Pool(settings);
  // A connection that breaks while idle is replaced by the pool; without a listener it would end the process.
  pool.on('error', () => undefined);
  // So would one that breaks while it is lent out; its query rejects all the same.
  pool.on('connect', (client) => client.on('error', () => undefined));
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool: guardedPool(pool) }) });
  try {
    if (!readOnly) await migrate(db, 'postgres', upTo);
  } catch (error) {
    await db.destroy();
    throw explainedPostgres(url, error);
  }
  const rooms = new Set<number>();
  return {
    dialect: 'postgres',
    db,
    shown: shownUrl(url),
    makeRoom: (on, times) => makeRoom(on, times, rooms),
    lock: (site) => lockSite(settings, site),
    size: async () => {
      const { rows } = await sql<{ size: number }>`select pg_database_size(current_database()) as size`.execute(db);
      return rows[0]?.size ?? 0;
    },
    close: () => db.destroy(),
  };
}

function settingsOf(url: string): pg.PoolConfig {
  const types = {
    getTypeParser: (oid: number, format?: 'text' | 'binary') =>
      oid === BIG ? Number : pg.types.getTypeParser(oid, format as 'text'),
  };
  return {
    connectionString: url,
    max: CONNECTIONS,
    connectionTimeoutMillis: CONNECT_MS,
    statement_timeout: STATEMENT_MS,
    query_timeout: ANSWER_MS,
    options: SERVER_KEEP_ALIVE,
    application_name: 'outfeed',
    types: types as pg.CustomTypesConfig,
    keepAlive: true,
    keepAliveInitialDelayMillis: KEEP_ALIVE_MS,
  };
}

/** Makes the parts that these times fall into. Two agents may make the same one at once: the second finds it there. */
async function makeRoom(db: Kysely<Tables>, times: readonly number[], known: Set<number>): Promise<void> {
  const missing = [...new Set(times.map(monthOf))].filter((month) => !known.has(month));
  for (const month of missing) {
    for (const table of PARTED) {
      const part = sql.raw(`${table}_m${month}`);
      const from = sql.lit(monthStart(month));
      const to = sql.lit(monthStart(month + 1));
      await sql`create table if not exists ${part} partition of ${sql.raw(table)} for values from (${from}) to (${to})`
        .execute(db)
        .catch((error: { code?: string }) => {
          if (error.code !== '42P07' && error.code !== '23505') throw error;
        });
    }
    known.add(month);
  }
}

/** An advisory lock, held by a connection of its own: it goes when the connection goes. */
async function lockSite(settings: pg.PoolConfig, site: string): Promise<Lock | null> {
  const client = new pg.Client(settings);
  let held = false;
  client.on('error', () => {
    held = false;
  });
  client.on('end', () => {
    held = false;
  });
  await client.connect();
  const asked = client.query<{ taken: boolean }>('select pg_try_advisory_lock(hashtextextended($1, 631)) taken', [
    site,
  ]);
  const taken = await asked.then(
    ({ rows }) => rows[0]?.taken === true,
    async (error: unknown) => {
      // The server may have given the lock all the same: it lasts as long as the connection.
      await client.end().catch(() => undefined);
      throw error;
    },
  );
  if (!taken) {
    await client.end();
    return null;
  }
  held = true;
  return { held: () => held, release: () => client.end() };
}

function shownUrl(url: string): string {
  try {
    const { hostname, port, pathname } = new URL(url);
    return `postgres://${hostname}${port === '' ? '' : `:${port}`}${pathname}`;
  } catch {
    return 'postgres:';
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nothing listens there',
  ENOTFOUND: 'its host name has no address',
  ETIMEDOUT: 'it does not answer',
  '28P01': 'it refused the password',
  '28000': 'it refused the user',
  '3D000': 'there is no database of that name',
  '42501': 'this user may not write there',
  '42P01': 'no agent has made its tables there yet',
  ERR_TLS_CERT_ALTNAME_INVALID: 'its certificate is for another name',
  CERT_HAS_EXPIRED: 'its certificate has expired',
  ENOENT: 'there is no such file as its URL names',
  EACCES: 'this user may not read a file that its URL names',
  ...Object.fromEntries(
    [
      'DEPTH_ZERO_SELF_SIGNED_CERT',
      'SELF_SIGNED_CERT_IN_CHAIN',
      'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
      'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
    ].map((code) => [code, 'nobody known vouches for its certificate (sslrootcert in the URL names who does)']),
  ),
};
/** What the driver says without a code. */
const NO_TLS = /does not support SSL/;

/** An error of the driver as one sentence, where it is one that a person can mend; else as it is. */
export function explainedPostgres(url: string, error: unknown): unknown {
  if (error instanceof ProgramProblem) return error;
  const { code, message = '' } = error as { code?: unknown; message?: string };
  const reason = NO_TLS.test(message) ? 'it speaks no TLS' : REASONS[String(code ?? '')];
  if (reason === undefined) return error;
  return new ProgramProblem('store-database', `The store ${shownUrl(url)} can't be used: ${reason}.`);
}
