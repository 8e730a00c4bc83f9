import { describe, expect, test } from 'vitest';
import { readMemory, readPage } from '../../src/commands/defect-options.js';
import { pageMemory } from '../../src/defects/page-memory.js';
import { asked } from './asked.js';

// By hand. A4 is 210 × 297 mm (ISO 216), an inch 25.4 mm: at 600 to the inch 4,961 × 7,016 dots. A row of one bit is
// 4,961 / 8 = 620.1, so 621 octets; 621 × 7,016 = 4,356,936. Letter is 8.5 × 11 in: 5,100 × 6,600 dots, 638 octets a row.
describe('room of one page, by hand', () => {
  test.each([
    ['a4,600', 4_356_936],
    ['a4,600,4', 17_427_744],
    ['a4,600,4,8', 4_961 * 7_016 * 4],
    ['a4,600x1200', 621 * 14_031],
    ['a4,300', 310 * 3_508],
    ['letter,600', 638 * 6_600],
    ['iso_a3_297x420mm,600,1,1', 877 * 9_921],
  ])('%s is %i octets', (page, bytes) => {
    expect(pageMemory(readPage(page), null)?.bytes).toBe(bytes);
  });
});

const of = (page: string, memory: string) => pageMemory(readPage(page), readMemory(memory));

describe('beside the memory', () => {
  test('both sides fit, one side, or not one', () => {
    expect(of('a4,600', '16 MB')).toMatchObject({ fits: 'well', change: [] });
    expect(of('a4,600,4', '20MB')?.fits).toBe('one-side');
    expect(of('a4,600,4', '8 MB')?.fits).toBe('not-whole');
    expect(pageMemory(readPage('a4,600'), null)).toMatchObject({ fits: null, change: [] });
  });

  test('how much of the page fits, and what each change makes of it', () => {
    const { says = [], change = [] } = of('a4,600,4', '8 MB') ?? {};
    // 8,000,000 of 17,427,744 is 46 %. At 300 to the inch: 310 × 3,508 × 4 = 4.35 MB; in black alone 4.36 MB.
    expect(says.join(' ')).toContain('At most 46 % of the page fits');
    expect(change[0]).toBe('Print at 300 dots to the inch: 4 MB, one side fits.');
    expect(change[1]).toBe('Print in black only: 4 MB, one side fits.');
    expect(change.join(' ')).toContain('driver of another language');
  });

  test('one bit in place of eight', () => {
    // 310 × 3,508 = 1.09 MB, twice of which is less than 4 MB.
    expect(of('a4,300,1,8', '4 MB')?.change[0]).toBe(
      'Print with one bit a dot (a coarser quality, without fine shades): 1 MB, fits on both sides.',
    );
  });
});

test('too little memory moves half a page to the memory; plenty speaks against it (common practice, no published source)', () => {
  const odds = (memory: number) =>
    asked(['partial-page'], 'laser', { told: { page: readPage('a4,600,4'), memoryBytes: memory } }).ranked.find(
      ({ cause }) => cause === 'memory-short',
    )?.probability ?? 0;
  const against = (p: number) => p / (1 - p);
  // By hand: signs.yaml has factor 4 where it is small and 0.4 where it is ample, for this cause alone: the odds stand as 10 to 1.
  expect(against(odds(8e6)) / against(odds(1e9))).toBeCloseTo(10, 0);
});

test('what can not be is one sentence', () => {
  for (const wrong of [
    '',
    'a4',
    'a9,600',
    'a4,0',
    'a4,600,0',
    'a4,600,4,3',
    'a4,600,4,1,1',
    'a4,600x600x600',
    'constructor,600',
  ])
    expect(() => readPage(wrong), wrong).toThrow(/--page/);
  for (const wrong of ['', 'much', '-1 MB', '0']) expect(() => readMemory(wrong), wrong).toThrow(/--memory/);
  expect([readMemory('64'), readMemory('512 KB'), readMemory('1.5GB')]).toEqual([64e6, 512e3, 1.5e9]);
});
