import type { PostgresPool, PostgresPoolClient } from 'kysely';
import type pg from 'pg';
import { storable } from './parameters.js';

/** What the driver says when an answer did not come in its time. */
const NO_ANSWER = /^Query read timeout$/;

/** A pool that keeps no connection on which an answer never came: whatever is asked there next would wait behind it. */
export function guardedPool(pool: pg.Pool): PostgresPool {
  return { connect: async () => guarded(await pool.connect()), end: () => pool.end() };
}

function guarded(client: pg.PoolClient): PostgresPoolClient {
  let stuck: Error | undefined;
  const query = async (text: string, parameters: readonly unknown[]) => {
    if (stuck !== undefined) throw stuck;
    return client.query(text, storable(parameters)).catch((error: Error) => {
      if (NO_ANSWER.test(error.message)) stuck = error;
      throw error;
    });
  };
  return {
    query: query as unknown as PostgresPoolClient['query'],
    release: (destroy) => client.release(destroy === true || stuck !== undefined),
  };
}
