import { join } from 'node:path';
import { sql } from 'kysely';
import { expect, test } from 'vitest';
import type { Database } from '../../src/store/database.js';
import { migrate, STEPS } from '../../src/store/migrations/migrate.js';
import { openPostgres } from '../../src/store/postgres.js';
import { openSqlite } from '../../src/store/sqlite.js';
import { openStore } from '../../src/store/store.js';
import { T0 } from './samples.js';

type Place = { readonly url: string; readonly folder: string };

/** Every earlier version's database comes to the newest form with what was in it. */
export function migrationSuite(dialect: 'sqlite' | 'postgres', place: () => Promise<Place>): void {
  const open = ({ url, folder }: Place, upTo?: string): Promise<Database> => {
    const options = upTo === undefined ? {} : { upTo };
    return dialect === 'sqlite'
      ? openSqlite(join(folder, url.replace('sqlite:', '')), options)
      : openPostgres(url, options);
  };
  const columns = async ({ db }: Database) =>
    (await db.introspection.getTables())
      .filter(({ name }) => !/_m\d+$/.test(name))
      .flatMap((table) =>
        table.columns.map((c) => `${table.name}.${c.name} ${c.dataType.toLowerCase()} ${c.isNullable}`),
      )
      .sort();

  test.each(STEPS.map(({ name }) => name))('from %s', async (version) => {
    const fresh = await open(await place());
    const wanted = await columns(fresh);
    await fresh.close();
    const at = await place();
    const old = await open(at, version);
    await sql`insert into sites (id, name) values (1, 'Harbour annex')`.execute(old.db);
    await sql`insert into printers (id, site_id, name, address, configured, first_seen)
      values (1, 1, 'front-desk', '192.0.2.21', 1, ${T0})`.execute(old.db);
    await sql`insert into incidents
      (id, site_id, printer, layer, cause, started_at, ended_at, affects, flapping, told)
      values ('a', 1, 'front-desk', 'media', 'media-empty', ${T0}, null, '["front-desk"]', 0, 1)`.execute(old.db);
    await old.close();
    const now = await open(at);
    expect(await columns(now)).toEqual(wanted);
    await now.close();
    const store = await openStore(at.url, { site: 'Harbour annex', folder: at.folder });
    expect((await store.remembered()).printers.map(({ name }) => name)).toEqual(['front-desk']);
    expect(await store.incidents({ limit: 5 })).toMatchObject([{ id: 'a', acknowledgedAt: null, note: null }]);
    await store.close();
  });

  test('several agents that start at once bring it up together', async () => {
    const at = await place();
    const stores = await Promise.all(['a', 'b', 'c'].map((site) => openStore(at.url, { site, folder: at.folder })));
    await Promise.all(stores.map((store) => store.check()));
    await Promise.all(stores.map((store) => store.close()));
  });

  test('a store of a newer version is left alone', async () => {
    const at = await place();
    const database = await open(at);
    await sql`insert into outfeed_steps (name, timestamp) values ('9999-later', '2099-01-01')`.execute(database.db);
    await expect(migrate(database.db, dialect)).rejects.toThrow(/written by a newer version/);
    await database.close();
  });
}
