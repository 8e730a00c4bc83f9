import type { Kysely } from 'kysely';
import type { Dialect } from './migrations/dialect.js';
import type { Tables } from './tables.js';

/** One of the two databases, opened and brought to the newest form. */
export interface Database {
  readonly dialect: Dialect;
  readonly db: Kysely<Tables>;
  /** What may be shown of where it is: no password. */
  readonly shown: string;
  /** Makes room for rows of these times where the database keeps them in parts. */
  readonly makeRoom: (db: Kysely<Tables>, times: readonly number[]) => Promise<void>;
  /** Takes the right to write for a site, which one agent has at a time; null when another one has it. */
  readonly lock: (site: string) => Promise<Lock | null>;
  /** Octets that it takes up. */
  readonly size: () => Promise<number>;
  readonly close: () => Promise<void>;
}

export interface Lock {
  /** False once the database let go of it: the agent must take it again before it goes on. */
  readonly held: () => boolean;
  readonly release: () => Promise<void>;
}

export interface StoreAccess {
  /** For looking into what an agent keeps: nothing is made or changed. */
  readonly readOnly?: boolean;
  /** Name of the last migration to run; for tests of the later ones. */
  readonly upTo?: string;
}
