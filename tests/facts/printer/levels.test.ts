import { describe, expect, test } from 'vitest';
import { readLevel } from '../../../src/facts/printer/levels.js';

const cases: readonly [string, number | null, number | null, string | null, number | null, string, number][] = [
  // what, level, capacity, unit, percent, meaning, notes. Special values: RFC 3805 section 6, prtMarkerSuppliesLevel.
  ['measured', 4200, 6000, 'impressions', 70, 'measured', 0],
  ['empty', 0, 250, 'sheets', 0, 'measured', 0],
  ['full', 250, 250, 'sheets', 100, 'measured', 0],
  ['hardly anything is not nothing', 1, 6000, 'impressions', 1, 'measured', 0],
  ['no limit', -1, 100, null, null, 'no-limit', 0],
  ['unknown', -2, -2, null, null, 'unknown', 0],
  ['some left', -3, -2, null, null, 'some-left', 0],
  ['some left of a known capacity', -3, 500, 'sheets', null, 'some-left', 0],
  ['nonsense below the special values', -7, 500, null, null, 'unknown', 1],
  ['above capacity', 130, 100, 'percent', 100, 'measured', 1],
  ['capacity 0', 0, 0, null, null, 'unknown', 1],
  ['capacity 0 below a level', 7, 0, 'sheets', null, 'unknown', 1],
  ['level without a known capacity', 1200, -2, 'impressions', null, 'measured', 0],
  ['level without any capacity', 0, null, 'sheets', null, 'measured', 0],
  ['a percent unit needs no capacity', 41, -2, 'percent', 41, 'measured', 0],
  ['a percent unit above 100 without capacity', 300, -2, 'percent', null, 'measured', 0],
  ['absent', null, 100, null, null, 'unknown', 0],
];

describe('levels', () => {
  test.each(cases)('%s', (_, level, capacity, unit, percent, meaning, noted) => {
    const notes: string[] = [];
    expect(readLevel(level, capacity, unit, 'Supply 1', (note) => notes.push(note))).toEqual({
      level,
      capacity,
      percent,
      meaning,
    });
    expect(notes).toHaveLength(noted);
  });

  // Gauge32 in place of Integer32: 2^32 - 3 and 2^32 - 2.
  test('special values that lost their sign have it back', () => {
    const notes: string[] = [];
    expect(readLevel(4_294_967_293, 4_294_967_294, 'impressions', 'Supply 1', (note) => notes.push(note))).toEqual({
      level: -3,
      capacity: -2,
      percent: null,
      meaning: 'some-left',
    });
    expect(notes).toEqual([
      'Supply 1: level 4294967293 is -3 without its sign; read as -3.',
      'Supply 1: capacity 4294967294 is -2 without its sign; read as -2.',
    ]);
  });
});
