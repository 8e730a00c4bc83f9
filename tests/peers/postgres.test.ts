import { tmpdir } from 'node:os';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
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
