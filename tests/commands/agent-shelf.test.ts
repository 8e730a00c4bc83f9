import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { fileShelf, shelfFolder } from '../../src/commands/agent-shelf.js';
import { Keeper } from '../../src/daemon/keeper.js';
import { Shelving } from '../../src/daemon/shelf.js';
import type { Change } from '../../src/store/change.js';
import { FakeWorld, keptLog } from '../daemon/worlds.js';
import { event, incident, printer, T0 } from '../store/samples.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-shelf-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const shelf = (site = 'Quay 7/b', shown = 'postgres://db.example/prints') => fileShelf({ folder, site, shown });
const files = () => readdirSync(folder);

test('what is put there is taken from there as it was, by whoever comes next; of nothing, no file is left', async () => {
  const batches = [[printer('front-desk'), incident('i1', T0)], [event('e1', T0)]];
  await shelf().put(batches);
  expect(await shelf().take()).toEqual(batches);
  expect(files()).toEqual([expect.stringMatching(/^outfeed-unwritten-Quay-7-b-[0-9a-f]{8}\.json$/)]);
  if (process.platform !== 'win32') expect(statSync(join(folder, files()[0] ?? '')).mode & 0o077).toBe(0);
  await shelf().put([]);
  expect(files()).toEqual([]);
  expect(await shelf().take()).toEqual([]);
});

test('what waits for one site or store is not for another', async () => {
  await shelf().put([[printer('front-desk')]]);
  expect(await shelf('Quay 8').take()).toEqual([]);
  expect(await shelf(undefined, 'sqlite:outfeed.db').take()).toEqual([]);
});

test.each(['', '{"schema":"outfeed.unwritten/1","batches":[[', '[]', '{"schema":"outfeed.unwritten/1","batches":[1]}'])(
  'a damaged file is put aside and said once: %j',
  async (text) => {
    await shelf().put([[printer('front-desk')]]);
    const [name = ''] = files();
    writeFileSync(join(folder, name), text);
    await expect(shelf().take()).rejects.toThrow(`${name} is damaged, so what it held is not remembered; it is now`);
    expect(readFileSync(join(folder, `${name}.broken`), 'utf8')).toBe(text);
    expect(await shelf().take()).toEqual([]);
  },
);

test('the service manager says where: the first of its folders, else the usual one', () => {
  expect(shelfFolder({ STATE_DIRECTORY: '/var/lib/outfeed:/var/lib/other' }, '/etc/outfeed')).toBe('/var/lib/outfeed');
  expect(shelfFolder({ STATE_DIRECTORY: '' }, '/etc/outfeed')).toBe('/etc/outfeed');
});

test('a batch that the store refuses does not hold up the others, one that it can not take yet holds up the start', async () => {
  const kept: Change[] = [];
  const log = keptLog();
  const world = new FakeWorld();
  let failing: (name: string) => unknown = (name) =>
    name === 'bad' && Object.assign(new Error('no'), { code: '23502' });
  const store = {
    apply: async (changes: readonly Change[]) => {
      const error = changes.map((change) => change.kind === 'printer' && failing(change.printer)).find(Boolean);
      if (error) throw error;
      kept.push(...changes);
    },
  };
  const shelving = new Shelving(shelf(), new Keeper(store, world, log), world, log);
  await shelf().put([[printer('a')], [printer('bad')], [printer('b')]]);
  await shelving.hand(store);
  expect(kept).toEqual([printer('a'), printer('b')]);
  expect(files()).toEqual([]);
  expect(log.lines.join()).toContain('"refused":1');

  await shelf().put([[printer('c')]]);
  failing = () => Object.assign(new Error('gone'), { code: 'ECONNREFUSED' });
  await expect(shelving.hand(store)).rejects.toThrow('gone');
  expect(await shelf().take()).toEqual([[printer('c')]]);
});

test('where nothing can be written it is said, and nothing else happens', async () => {
  const log = keptLog();
  const world = new FakeWorld();
  const keeper = new Keeper({ apply: () => Promise.reject(new Error('gone')) }, world, log);
  keeper.put([printer('a')]);
  await keeper.flush();
  const place = { folder: join(folder, 'absent'), site: 'x', shown: 'y' };
  await new Shelving(fileShelf(place), keeper, world, log).put();
  expect(log.lines.join()).toContain('can not be put aside');
  expect(log.lines.join()).toContain('its folder does not exist');
});
