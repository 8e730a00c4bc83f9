import { isAbsolute, join } from 'node:path';
import { sql } from 'kysely';
import type { PastAlert } from '../model/history.js';
import type { KeptIncident } from '../model/incident.js';
import { ProgramProblem } from '../model/problem.js';
import type { EvidenceBundle } from '../model/why.js';
import type { Change } from './change.js';
import type { Database, Lock } from './database.js';
import type { KeptCount } from './held.js';
import { acknowledge, type IncidentPage, type IncidentQuery, readIncidentPage, readIncidents } from './incidents.js';
import {
  dueTellings,
  messagesSince,
  putFailed,
  putGathered,
  putSent,
  type Telling,
  type Told,
  waitingTellings,
} from './outbox.js';
import {
  type KeptFound,
  type KeptLevel,
  type Past,
  readAlerts,
  readAnswers,
  readCounts,
  readEvidence,
  readFirstSeen,
  readFound,
  readLevels,
  readModels,
  readPast,
} from './past.js';
import { explainedPostgres, openPostgres } from './postgres.js';
import { type Remembered, remembered } from './remember.js';
import { retain } from './retain.js';
import { explained, openSqlite } from './sqlite.js';
import { applyChanges, Numbers, siteNumber } from './write.js';

/** Work that is planned: what happens meanwhile is no news. */
export interface Plan {
  /** Null: the whole site. */
  readonly printer: string | null;
  readonly from: number;
  readonly to: number;
  readonly why: string;
}

/** The memory of one site. Times are milliseconds since 1970. Whatever fails, fails as a whole and may be tried again. */
export interface Store {
  /** Where it is, without a password. */
  readonly shown: string;
  readonly dialect: 'sqlite' | 'postgres';
  apply(changes: readonly Change[]): Promise<void>;
  remembered(): Promise<Remembered>;
  incidents(asked: IncidentQuery): Promise<readonly KeptIncident[]>;
  incidentPage(asked: IncidentQuery): Promise<IncidentPage>;
  acknowledge(id: string, at: number, note: string | null): Promise<boolean>;
  plans(now: number): Promise<readonly Plan[]>;
  plan(plan: Plan): Promise<void>;
  dueTellings(teller: string, now: number, limit: number): Promise<readonly Telling[]>;
  messagesSince(teller: string, since: number, now: number): Promise<number>;
  gathered(told: Told, message: string): Promise<void>;
  sent(told: Told, at: number, message: string): Promise<void>;
  failed(told: Told, error: string, gaveUpAt: number | null): Promise<void>;
  waiting(): Promise<number>;
  past(printer: string): Promise<Past | undefined>;
  /** Name of the printer that was last read at this address. */
  nameAt(address: string): Promise<string | undefined>;
  evidence(printer: string, at: number): Promise<EvidenceBundle | undefined>;
  levels(since: number, printer?: string): Promise<readonly KeptLevel[]>;
  counts(since: number, printer?: string): Promise<readonly KeptCount[]>;
  /** How printers were found since then, oldest first; of each the last that was found before then too. */
  found(since: number): Promise<readonly KeptFound[]>;
  /** Printer → since when it is watched. */
  firstSeen(): Promise<ReadonlyMap<string, number>>;
  /** Printer → when it last answered. */
  answers(): Promise<ReadonlyMap<string, number>>;
  /** Alerts that began since then, oldest first. */
  alerts(since: number): Promise<readonly PastAlert[]>;
  /** Printer → the model that it last said it is. */
  models(): Promise<ReadonlyMap<string, string>>;
  /** When something was last done; null: never. */
  marked(name: string): Promise<number | null>;
  mark(name: string, at: number): Promise<void>;
  /** Lets go of what is too old, of this site alone. */
  retain(now: number, keepMs: number): Promise<void>;
  /** Null: another agent has it. */
  lock(): Promise<Lock | null>;
  /** Throws when the store can't be reached. */
  check(): Promise<void>;
  size(): Promise<number>;
  close(): Promise<void>;
}

export interface StoreOptions {
  /** Name of the site: several may share one PostgreSQL. */
  readonly site: string;
  /** Folder that the path of a SQLite file starts from. */
  readonly folder: string;
  /** For a look into what an agent keeps: nothing is made or changed. A SQLite file must be there. */
  readonly readOnly?: boolean;
}

/** Opens the store of a URL: `sqlite:FILE` or `postgres://…`. Throws ProgramProblem when it can't be had. */
export async function openStore(url: string, options: StoreOptions): Promise<Store> {
  const database = await openDatabase(url, options);
  try {
    const number =
      options.readOnly === true ? await knownSite(database, options.site) : await siteNumber(database.db, options.site);
    return storeOver(database, number, options.site);
  } catch (error) {
    await database.close();
    const file = storeFile(url, options.folder);
    throw file === undefined ? explainedPostgres(url, error) : explained(file, error);
  }
}

/** Path of a SQLite store's file; undefined for another kind of store. */
export function storeFile(url: string, folder: string): string | undefined {
  const path = /^sqlite:(.+)$/.exec(url)?.[1];
  if (path === undefined) return undefined;
  return isAbsolute(path) ? path : join(folder, path);
}

async function openDatabase(url: string, { folder, readOnly = false }: StoreOptions): Promise<Database> {
  const file = storeFile(url, folder);
  if (file !== undefined) return openSqlite(file, { readOnly });
  if (/^postgres(ql)?:\/\//.test(url)) return openPostgres(url, { readOnly });
  throw new ProgramProblem('store-url', 'The store takes a URL such as "sqlite:outfeed.db" or "postgres://…".');
}

async function knownSite({ db }: Database, name: string): Promise<number> {
  const row = await db.selectFrom('sites').select('id').where('name', '=', name).executeTakeFirst();
  return row?.id ?? -1;
}

function storeOver(database: Database, site: number, name: string): Store {
  const { db } = database;
  const numbers = new Numbers(site);
  return {
    shown: database.shown,
    dialect: database.dialect,
    apply: (changes) => (changes.length === 0 ? Promise.resolve() : applyChanges(database, numbers, changes)),
    remembered: () => remembered(db, site),
    incidents: (asked) => readIncidents(db, site, asked),
    incidentPage: (asked) => readIncidentPage(db, site, asked),
    acknowledge: (id, at, note) => acknowledge(db, site, id, at, note),
    plans: (now) => readPlans(database, site, now),
    plan: async ({ printer, from, to, why }) => {
      await db.insertInto('plans').values({ site_id: site, printer, from_at: from, to_at: to, why }).execute();
    },
    dueTellings: (teller, now, limit) => dueTellings(db, site, teller, now, limit),
    messagesSince: (teller, since, now) => messagesSince(db, site, teller, since, now),
    gathered: (told, message) => putGathered(db, told, message),
    sent: (told, at, message) => putSent(db, told, at, message),
    failed: (told, error, gaveUpAt) => putFailed(db, told, error, gaveUpAt),
    waiting: () => waitingTellings(db, site),
    past: (printer) => readPast(db, site, printer),
    nameAt: async (address) => {
      const row = await db
        .selectFrom('printers')
        .select('name')
        .where('site_id', '=', site)
        .where('address', '=', address)
        .orderBy('last_answer_at', 'desc')
        .executeTakeFirst();
      return row?.name;
    },
    evidence: (printer, at) => readEvidence(db, site, printer, at),
    levels: (since, printer) => readLevels(db, site, since, printer),
    counts: (since, printer) => readCounts(db, site, since, printer),
    found: (since) => readFound(db, site, since),
    firstSeen: () => readFirstSeen(db, site),
    answers: () => readAnswers(db, site),
    alerts: (since) => readAlerts(db, site, since),
    models: () => readModels(db, site),
    marked: async (name) => {
      const row = await db
        .selectFrom('marks')
        .select('at')
        .where('site_id', '=', site)
        .where('name', '=', name)
        .executeTakeFirst();
      return row?.at ?? null;
    },
    mark: async (name, at) => {
      await db
        .insertInto('marks')
        .values({ site_id: site, name, at })
        .onConflict((c) => c.columns(['site_id', 'name']).doUpdateSet({ at }))
        .execute();
    },
    retain: (now, keepMs) => retain(database, site, now, keepMs),
    lock: () => database.lock(name),
    check: async () => {
      await sql`select 1`.execute(db);
    },
    size: database.size,
    close: database.close,
  };
}

async function readPlans({ db }: Database, site: number, now: number): Promise<readonly Plan[]> {
  const rows = await db
    .selectFrom('plans')
    .selectAll()
    .where('site_id', '=', site)
    .where('to_at', '>', now)
    .orderBy('from_at')
    .execute();
  return rows.map(({ printer, from_at, to_at, why }) => ({ printer, from: from_at, to: to_at, why }));
}
