import { describe, expect, test } from 'vitest';
import { Keeper } from '../../src/daemon/keeper.js';
import type { Change } from '../../src/store/change.js';
import { event, incident, printer, sample, T0, verdict } from '../store/samples.js';
import { FakeWorld, keptLog } from './worlds.js';

class Shelf {
  readonly kept: Change[] = [];
  failing: ((changes: readonly Change[]) => unknown) | null = null;
  async apply(changes: readonly Change[]): Promise<void> {
    const error = this.failing?.(changes);
    if (error) throw error;
    this.kept.push(...changes);
  }
}

const coded = (code: string) => Object.assign(new Error(code), { code });
const make = () => {
  const shelf = new Shelf();
  const world = new FakeWorld();
  const log = keptLog();
  return { shelf, world, log, keeper: new Keeper(shelf, world, log) };
};

describe('what is to be remembered', () => {
  test.each(['SQLITE_FULL', 'SQLITE_IOERR_WRITE', 'SQLITE_READONLY', 'SQLITE_BUSY', 'ECONNREFUSED', '57P01', '53100'])(
    'waits while the database is away (%s) and is then written in order',
    async (code) => {
      const { shelf, world, keeper, log } = make();
      shelf.failing = () => coded(code);
      for (let at = 0; at < 20; at++) {
        keeper.put([printer(`p${at}`)]);
        await keeper.flush();
        world.advance(30_000);
      }
      expect(keeper.well).toBe(false);
      expect(keeper.backlog).toBe(20);
      shelf.failing = null;
      await keeper.flush();
      expect(keeper.well).toBe(true);
      expect(shelf.kept.map((change) => change.kind === 'printer' && change.printer)).toEqual(
        Array.from({ length: 20 }, (_, at) => `p${at}`),
      );
      expect(log.lines.filter((line) => line.startsWith('error'))).toHaveLength(1);
    },
  );

  test('one batch that the database refuses for what is in it does not hold up the others', async () => {
    const { shelf, keeper, log } = make();
    shelf.failing = (changes) =>
      changes.some((change) => change.kind === 'printer' && change.printer === 'bad') && coded('23502');
    for (const name of ['a', 'bad', 'b']) keeper.put([printer(name)]);
    await keeper.flush();
    expect(shelf.kept).toHaveLength(2);
    expect(keeper.dropped).toBe(1);
    expect(log.lines.join()).toContain('refuses this');
  });

  test('when too much waits measurements are let go, incidents and events never', async () => {
    const { shelf, keeper } = make();
    shelf.failing = () => coded('ECONNREFUSED');
    for (let at = 0; at < 30_000; at++) keeper.put([sample('a', T0 + at, at)]);
    for (let at = 0; at < 100; at++) keeper.put([incident(`i${at}`, T0), event(`e${at}`, T0), verdict('a', T0 + at)]);
    expect(keeper.backlog).toBeLessThan(21_000);
    shelf.failing = null;
    await keeper.flush(true);
    const count = (kind: Change['kind']) => shelf.kept.filter((change) => change.kind === kind).length;
    expect([count('incident'), count('event'), count('verdict')]).toEqual([100, 100, 100]);
    expect(keeper.backlog).toBe(0);
  });

  test('that it answered is let go where it answered later too; what must stay is not told at each change', async () => {
    const { shelf, keeper, log } = make();
    shelf.failing = () => coded('ECONNREFUSED');
    for (let at = 0; at < 300; at++) for (let n = 0; n < 100; n++) keeper.put([printer(`p${n}`, T0 + at)]);
    expect(keeper.backlog).toBeLessThan(21_000);
    for (let at = 0; at < 25_000; at++) keeper.put([event(`e${at}`, T0)]);
    expect(log.lines.filter((line) => line.includes('too much waits')).length).toBeLessThan(10);
    shelf.failing = null;
    await keeper.flush(true);
    const times = shelf.kept.flatMap((change) =>
      change.kind === 'printer' && change.printer === 'p7' ? change.at : [],
    );
    expect([times[0], times.at(-1)]).toEqual([T0, T0 + 299]);
    expect(shelf.kept.filter(({ kind }) => kind === 'event')).toHaveLength(25_000);
  });

  test('what comes while it is written is written too', async () => {
    const { shelf, keeper } = make();
    const slow = shelf.apply.bind(shelf);
    let once = true;
    shelf.apply = async (changes) => {
      if (once) keeper.put([printer('later')]);
      once = false;
      await slow(changes);
    };
    keeper.put([printer('a')]);
    await keeper.flush();
    expect(shelf.kept).toHaveLength(2);
  });
});
