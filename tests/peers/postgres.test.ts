import { readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { guardedPool } from '../../src/store/postgres-pool.js';
import { openStore } from '../../src/store/store.js';
import { migrationSuite } from '../store/migration-suite.js';
import { printer, sample, T0 } from '../store/samples.js';
import { storeSuite } from '../store/suite.js';
import { describeWithPeers } from './peer.js';
import { findPostgres, type Postgres, startPostgres } from './postgres.js';

describeWithPeers('the store in PostgreSQL', findPostgres() === null ? ['postgres'] : [], () => {
  let server: Postgres;
  beforeAll(async () => {
    server = await startPostgres();
  }, 60_000);
  afterAll(() => server?.stop());
  const place = async () => ({ url: await server.database(), folder: tmpdir() });

  describe('does what every store does', () => storeSuite(place));
  describe('migrations', () => migrationSuite('postgres', place));

  test('goes on by itself once a server that was gone is back', async () => {
    const { url, folder } = await place();
    const store = await openStore(url, { site: 'x', folder });
    const lock = await store.lock();
    await store.apply([printer('front-desk')]);
    await server.kill();
    try {
      await expect(store.apply([sample('front-desk', T0, 1)])).rejects.toThrow();
      await expect(store.check()).rejects.toThrow();
      // Its own connection hears of it when it does.
      await expect.poll(() => lock?.held(), { timeout: 10_000 }).toBe(false);
    } finally {
      await server.start();
    }
    await store.apply([sample('front-desk', T0, 1)]);
    expect(await store.levels(0)).toHaveLength(1);
    const taken = await store.lock();
    expect(taken?.held()).toBe(true);
    await taken?.release();
    await store.close();
  }, 60_000);

  test('a connection on which no answer comes is not used again', async () => {
    const { url } = await place();
    const pool = new pg.Pool({ connectionString: url, max: 1, query_timeout: 300 });
    pool.on('error', () => undefined);
    const guarded = guardedPool(pool);
    const stuck = await guarded.connect();
    await expect(stuck.query('select pg_sleep(20)', [])).rejects.toThrow('Query read timeout');
    // Whoever tidies up on it does not wait once more.
    const began = performance.now();
    await expect(stuck.query('rollback', [])).rejects.toThrow('Query read timeout');
    expect(performance.now() - began).toBeLessThan(200);
    stuck.release();
    const other = await guarded.connect();
    expect((await other.query<{ n: number }>('select 1 as n', [])).rows).toEqual([{ n: 1 }]);
    other.release();
    await pool.end();
  });

  test('a start does not go through all that was ever measured', async () => {
    const { url, folder } = await place();
    const store = await openStore(url, { site: 'x', folder });
    await store.apply([sample('front-desk', T0, 1)]);
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await client.query(
      'insert into samples select series_id, at + n, 1 from samples, generate_series(1, 300000) n; analyze',
    );
    const shortest = async (work: () => Promise<unknown>): Promise<number> => {
      const took: number[] = [];
      for (let run = 0; run < 3; run++) {
        const began = performance.now();
        await work();
        took.push(performance.now() - began);
      }
      return Math.min(...took);
    };
    const counting = await shortest(() => client.query('select count(*) from samples'));
    expect(await shortest(() => store.remembered())).toBeLessThan(8 * counting);
    expect((await store.remembered()).printers[0]?.samples[0]?.at).toBe(T0 + 300_000);
    await client.end();
    await store.close();
  }, 60_000);

  // proc_pid_net(5) on Linux: a socket's timer, 02 for the one that asks whether the other side is there, in hundredths of a second.
  test.runIf(process.platform === 'linux')('the server soon notices that the machine of an agent is gone', async () => {
    const { url, folder } = await place();
    const store = await openStore(url, { site: 'x', folder });
    const lock = await store.lock();
    const port = Number(new URL(url).port).toString(16).toUpperCase().padStart(4, '0');
    const timers = () =>
      readFileSync('/proc/net/tcp', 'latin1')
        .split('\n')
        .map((line) => line.trim().split(/\s+/))
        .filter(([, local, , state]) => local?.endsWith(`:${port}`) && state === '01')
        .map((fields) => fields[5] ?? '');
    // Until all that was sent is acknowledged another timer runs.
    await expect.poll(() => timers().map((timer) => timer.slice(0, 2))).toEqual(['02', '02']);
    for (const timer of timers()) expect(Number.parseInt(timer.slice(3), 16)).toBeLessThanOrEqual(3_100);
    await lock?.release();
    await store.close();
  });

  test('nothing there is said in one sentence, without the password', async () => {
    const { url, folder } = await place();
    const wrong = url.replace(/outfeed@127\.0\.0\.1:\d+/, 'outfeed:hush@127.0.0.1:1');
    const failed = await openStore(wrong, { site: 'x', folder }).then(
      () => '',
      (error: Error) => error.message,
    );
    expect(failed).toMatch(/nothing listens there\.$/);
    expect(failed).not.toContain('hush');
  });
});
