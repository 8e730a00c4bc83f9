import { describe, expect, test } from 'vitest';
import { withHeld } from '../../src/store/held.js';

const DAY = 86_400_000;
const level = (day: number, value: number, pages: number | null = null) => ({
  at: day * DAY,
  level: value,
  capacity: 100,
  unit: 'percent',
  pages,
});
const count = (day: number, pages: number) => ({ printer: 'front-desk', at: day * DAY, pages });
const gist = (readings: ReturnType<typeof withHeld>) => readings.map(({ at, level: l, pages }) => [at / DAY, l, pages]);

/** By hand: a level read again and again and kept once is known to have held until the last look before the next change. */
describe('a level that was kept when it changed', () => {
  test('held until the last count before the change, and is said once a day meanwhile', () => {
    const counts = [count(0, 100), count(0.5, 110), count(1.2, 130), count(1.4, 140), count(2.9, 200), count(3, 210)];
    expect(gist(withHeld([level(0, 80, 100), level(3, 75, 210)], counts, 3.5 * DAY))).toEqual([
      [0, 80, 100],
      [1.2, 80, 130],
      [2.9, 80, 200],
      [3, 75, 210],
      [3.5, 75, 210],
    ]);
  });

  test('without a count nothing is made up but that the last answer still said so', () => {
    expect(gist(withHeld([level(0, 80), level(9, 60)], [], null))).toEqual([
      [0, 80, null],
      [9, 60, null],
    ]);
    expect(gist(withHeld([level(0, 80)], [], 4 * DAY))).toEqual([
      [0, 80, null],
      [4, 80, null],
    ]);
    expect(withHeld([], [count(1, 5)], 4 * DAY)).toEqual([]);
  });
});
