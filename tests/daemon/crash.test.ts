import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Libsql from 'libsql';
import { afterAll, expect, test } from 'vitest';
import { fractionOf } from '../../src/daemon/chance.js';
import { describeWithPeers } from '../peers/peer.js';
import { findPostgres, type Postgres, startPostgres } from '../peers/postgres.js';
import { wreck } from './crash.js';

/** Twenty here; `KILLS=300` for a whole run. */
const KILLS = Number(process.env.KILLS ?? 20);
const moment = (kill: number): number => 5 + Math.floor(fractionOf(`kill ${kill}`) * 400);
const folder = mkdtempSync(join(tmpdir(), 'outfeed-crash-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test(
  'killed at any moment, a SQLite store loses nothing that it acknowledged and tells all of it',
  async () => {
    const { lost, untold, doubled, acknowledged, ...rest } = await wreck('sqlite:c.db', folder, KILLS, moment);
    console.log({ acknowledged, ...rest });
    expect({ lost, untold, doubled }).toEqual({ lost: [], untold: [], doubled: [] });
    expect(acknowledged).toBeGreaterThan(KILLS / 2);
    const file = new Libsql(join(folder, 'c.db'));
    expect(file.prepare('PRAGMA integrity_check').all()).toEqual([{ integrity_check: 'ok' }]);
    file.close();
  },
  60_000 + KILLS * 10_000,
);

describeWithPeers('killed at any moment, with PostgreSQL', findPostgres() === null ? ['postgres'] : [], () => {
  let server: Postgres | undefined;
  afterAll(() => server?.stop());

  test(
    'nothing acknowledged is lost and all of it is told, though the server is killed as well',
    async () => {
      server = await startPostgres();
      const running = server;
      const url = await running.database();
      const wreckServer = async (kill: number) => {
        if (kill % 5 !== 4) return;
        await new Promise((resolve) => setTimeout(resolve, 700 + moment(kill)));
        await running.kill();
        await running.start();
      };
      const { lost, untold, doubled, acknowledged, ...rest } = await wreck(url, folder, KILLS, moment, wreckServer);
      console.log({ acknowledged, ...rest });
      expect({ lost, untold, doubled }).toEqual({ lost: [], untold: [], doubled: [] });
      expect(acknowledged).toBeGreaterThan(KILLS / 2);
    },
    120_000 + KILLS * 10_000,
  );
});
