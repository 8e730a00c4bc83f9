import { describe, expect, test } from 'vitest';
import { levelPoints, stepOf } from '../../src/forecast/levels.js';
import { livesOf } from '../../src/forecast/lives.js';
import { DAY, daily, falling, START } from './readings.js';

const percents = (...levels: readonly number[]) => levelPoints(daily(levels)).map(({ percent }) => percent);
const refillDays = (levels: readonly number[], more = {}) =>
  livesOf(daily(levels, more)).refills.map((at) => (at - START) / DAY);

describe('levels as printers give them (RFC 3805 prtMarkerSuppliesLevel)', () => {
  test('special levels measure nothing', () => {
    expect(percents(60, -1, -2, -3, -7, 50)).toEqual([60, 50]);
  });

  test('a level above capacity is 100', () => {
    expect(percents(130)).toEqual([100]);
  });

  test('in the unit of the capacity, and with its size in a base unit', () => {
    const [point] = levelPoints(daily([225], { capacity: 300, unit: 'tenthsOfGrams' }));
    expect(point).toMatchObject({ percent: 75, size: 30 });
  });

  test.each([[-2], [-1], [0], [null]])('capacity %s: the highest level seen stands for it', (capacity) => {
    const points = levelPoints(daily([4000, 3000, 1000], { capacity, unit: 'impressions' }));
    expect(points.map(({ percent }) => percent)).toEqual([100, 75, 25]);
  });

  test('percent without a capacity is a percentage by itself', () => {
    expect(levelPoints(daily([40, 30], { capacity: -2 })).map(({ percent }) => percent)).toEqual([40, 30]);
  });
});

describe('the step in which a printer counts', () => {
  test.each([
    [[100, 100, 75, 75, 75, 50, 50, 25], 25],
    [[100, 90, 80, 80, 70], 10],
    [[95, 90, 90, 85, 75], 5],
    [[100, 99, 97, 96, 93], 1],
    [[99.5, 98, 97.5], 0.5],
    [[100, 67, 67, 33], 100 / 3],
  ])('%j', (levels, step) => {
    expect(
      stepOf(
        levelPoints(
          daily(
            levels.map((level) => level * 10),
            { capacity: 1000, unit: 'items' },
          ),
        ),
      ),
    ).toBeCloseTo(step, 6);
  });

  test('one strange reading among many does not hide it', () => {
    const levels = [...Array.from({ length: 20 }, () => 75), 13, ...Array.from({ length: 20 }, () => 50)];
    expect(stepOf(levelPoints(daily(levels)))).toBe(25);
  });

  test('one level says nothing', () => {
    expect(stepOf(levelPoints(daily([100, 100])))).toBe(1);
  });
});

describe('refills', () => {
  test('each is found, on its day', () => {
    expect(refillDays([...falling(20, 3, 6), ...falling(100, 2, 40), ...falling(90, 2, 10)])).toEqual([6, 46]);
  });

  test('a cartridge that was not full is one too', () => {
    expect(refillDays([12, 11, 10, 64, 63, 62])).toEqual([3]);
  });

  test('jitter is none', () => {
    expect(refillDays([50, 49, 50, 49, 48, 49, 48, 47, 48, 46, 47, 46])).toEqual([]);
  });

  test('flicker between two coarse steps is none', () => {
    expect(refillDays([75, 75, 50, 75, 50, 75, 50, 50, 50, 25])).toEqual([]);
  });

  test('a board that says 0 after a restart is none', () => {
    expect(refillDays([60, 60, 59, 0, 0, 58, 58, 57])).toEqual([]);
    expect(refillDays([60, 60, 59, 100, 58, 58, 57])).toEqual([]);
  });

  test('unknown levels between are none', () => {
    expect(refillDays([60, 59, -2, -3, 58, 57])).toEqual([]);
  });

  test('a smaller capacity for the same amount is none: the share rose, the amount did not', () => {
    const before = daily([3000, 2980, 2960], { capacity: 6000, unit: 'impressions' });
    const after = daily([2940, 2920, 2900], { capacity: 4000, unit: 'impressions' });
    const later = after.map((reading) => ({ ...reading, at: reading.at + 3 * DAY }));
    const { refills, lives } = livesOf([...before, ...later]);
    expect(refills).toEqual([]);
    expect(lives).toHaveLength(2);
  });

  test('a level that sinks at once and stays there begins anew, without a refill', () => {
    const { refills, lives } = livesOf(daily([...falling(90, 1, 10), ...falling(40, 1, 10)]));
    expect(refills).toEqual([]);
    expect(lives).toHaveLength(2);
  });

  test('nothing in, nothing out', () => {
    expect(livesOf([])).toMatchObject({ refills: [] });
    expect(livesOf(daily([-2, -3]))).toMatchObject({ refills: [] });
  });
});
