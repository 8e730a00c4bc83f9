import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readMarks } from '../../src/defects/mark-reading.js';
import { solveRepeat } from '../../src/defects/repeat.js';
import { kindOfPart, rotatingPart } from '../../src/defects/rotating-parts.js';
import { asked } from './asked.js';
import { tally } from './repeat-score.js';
import { readMarks as marksOfPage, normal, seeded } from './simulated-marks.js';

/** An invented model. 94.2 is twice 47.1: a trap on purpose. */
const MODEL = [
  rotatingPart({ part: 'drum', circumferenceMm: 94.2 }),
  rotatingPart({ part: 'developer roller', circumferenceMm: 37.6 }),
  rotatingPart({ part: 'transfer roller', diameterMm: 15 }),
  rotatingPart({ part: 'fuser sleeve', diameterMm: 24 }),
  rotatingPart({ part: 'registration roller', diameterMm: 12.5 }),
];

const given = (marks: readonly number[], more: Partial<Parameters<typeof readMarks>[0]> = {}) =>
  readMarks({ marks, error: 0.5, scale: 1, parts: MODEL, of: 'marks', ...more }).repeat;

describe('by hand', () => {
  test('four marks over 282.6 mm: 94.2 mm, hence a diameter of 30.0 mm (shared/trade rep-example, computed)', () => {
    const { periodMm, sigmaMm, multiples, decidable, candidates } = given([10, 104.2, 198.4, 292.6]);
    expect(periodMm).toBe(94.2);
    expect((periodMm ?? 0) / Math.PI).toBeCloseTo(30, 1);
    // Least squares on turns 0..3: sigma = 0.5 / sqrt(1.5² + 0.5² + 0.5² + 1.5²) = 0.5 / sqrt(5).
    expect(sigmaMm).toBeCloseTo(0.5 / Math.sqrt(5), 2);
    expect(multiples).toEqual([0, 1, 2, 3]);
    expect(decidable).toBe(true);
    expect(candidates[0]).toMatchObject({ part: 'drum', circumferenceMm: 94.2, z: 0 });
    expect(candidates[0]?.probability).toBeGreaterThan(0.9);
  });

  test('one missed: turns 0, 1, 3; the slope of the line through them by hand', () => {
    const marks = [0, 94.6, 282.9];
    // k mean 4/3, x mean 125.8333: slope = Σ(k−k̄)(x−x̄) / Σ(k−k̄)² = 440.1 / 4.6667.
    const slope =
      ((0 - 4 / 3) * (0 - 377.5 / 3) + (1 - 4 / 3) * (94.6 - 377.5 / 3) + (3 - 4 / 3) * (282.9 - 377.5 / 3)) / (14 / 3);
    const { periodMm, multiples, decidable, candidates } = given(marks);
    expect(multiples).toEqual([0, 1, 3]);
    expect(periodMm).toBeCloseTo(slope, 2);
    expect(decidable).toBe(true);
    expect(candidates[0]?.part).toBe('drum');
    expect(candidates[1]?.part).toBe('transfer roller');
  });

  test('a mark read twice counts as one turn', () => {
    const { multiples, periodMm, decidable } = given([20, 20.6, 114.4, 208.5, 208.1]);
    expect(multiples).toEqual([0, 0, 1, 2, 2]);
    expect(periodMm).toBeCloseTo(94.1, 0);
    expect(decidable).toBe(true);
  });

  test('the order of the marks does not matter', () => {
    expect(given([208.1, 20, 114.4])).toEqual(given([20, 114.4, 208.1]));
  });

  test('marks read off a printed ruler are brought to paper: 97 mm measure what says 100', () => {
    const onPaper = [10, 104.2, 198.4, 292.6];
    const read = onPaper.map((mm) => mm / 0.97);
    const { periodMm, marksMm, candidates } = given(read, { scale: 97 / 100 });
    expect(periodMm).toBeCloseTo(94.2, 6);
    expect(marksMm).toEqual([10, 104.2, 198.4, 292.6]);
    expect(candidates[0]?.part).toBe('drum');
  });

  test('circumference is π × diameter, over the speed ratio where a part outruns the paper', () => {
    expect(rotatingPart({ part: 'a', diameterMm: 30 }).circumferenceMm).toBeCloseTo(94.248, 3);
    expect(rotatingPart({ part: 'a', diameterMm: 30, speedRatio: 1.5 }).circumferenceMm).toBeCloseTo(62.832, 3);
    expect(rotatingPart({ part: 'a', circumferenceMm: 94.2 }).circumferenceMm).toBe(94.2);
  });
});

describe('what does not decide', () => {
  test('one mark', () => {
    const { periodMm, sigmaMm, multiples, decidable, because, straysMm } = given([100]);
    expect({ periodMm, sigmaMm, multiples, decidable }).toEqual({
      periodMm: null,
      sigmaMm: null,
      multiples: [],
      decidable: false,
    });
    expect(because).toContain('at least three');
    expect(straysMm).toEqual([100]);
  });

  test('two marks a drum apart may be a transfer roller with one missed between; it says where to look', () => {
    const { decidable, because, candidates } = given([20, 114.2]);
    expect(decidable).toBe(false);
    expect(because).toContain('transfer roller');
    expect(because).toContain('67.1 mm down');
    expect(candidates.slice(0, 2).map(({ part }) => part)).toEqual(['drum', 'transfer roller']);
  });

  test('two marks without a model: half and a third are as good', () => {
    const { decidable, because } = given([20, 114.2], { parts: [] });
    expect(decidable).toBe(false);
    expect(because).toContain('a half or a third');
  });

  test('two parts within the error of the reading', () => {
    const parts = [
      rotatingPart({ part: 'one', circumferenceMm: 75 }),
      rotatingPart({ part: 'two', circumferenceMm: 75.6 }),
    ];
    const { decidable, because, candidates } = given([10, 85.3, 160.6], { parts });
    expect(decidable).toBe(false);
    expect(because).toMatch(/^one \(75\.0 mm, \d\d %\) and two \(75\.6 mm\) lie within the error/);
    expect(candidates.every(({ probability }) => probability > 0.2)).toBe(true);
  });

  test('a period that no part of the model has', () => {
    const { decidable, because, periodMm, candidates } = given([10, 71, 132, 193, 254]);
    expect(periodMm).toBe(61);
    expect(decidable).toBe(false);
    expect(because).toContain('no part of the model file');
    expect(candidates[0]?.probability).toBeLessThan(0.2);
  });

  test('spots without order', () => {
    const { decidable } = given([12, 31, 77, 160, 171, 243], { parts: [] });
    expect(decidable).toBe(false);
  });
});

describe('two series between each other', () => {
  const drum = [12, 106.2, 200.4, 294.6];
  const fuser = [31, 106.4 - 0.1, 181.8, 257.2].map((mm, at) => (at === 1 ? 106.4 : mm));

  test('two parts are taken apart', () => {
    const { second, candidates, straysMm } = given([...drum, 40, 115.4, 190.8, 266.2]);
    expect([candidates[0]?.part, second?.candidates[0]?.part].sort()).toEqual(['drum', 'fuser sleeve']);
    expect(second?.decidable).toBe(true);
    expect(straysMm).toEqual([]);
  });

  test('two places on one part', () => {
    const { periodMm, second } = given([...drum, 42, 136.2, 230.4]);
    expect(periodMm).toBeCloseTo(94.2, 1);
    expect(second?.periodMm).toBeCloseTo(94.2, 1);
  });

  test('without a model too', () => {
    const { periodMm, second } = given([...drum, 40, 115.4, 190.8, 266.2], { parts: [] });
    expect([periodMm ?? 0, second?.periodMm ?? 0].sort((a, b) => a - b)[0]).toBeCloseTo(75.4, 1);
    expect([periodMm ?? 0, second?.periodMm ?? 0].sort((a, b) => a - b)[1]).toBeCloseTo(94.2, 1);
  });

  test('one series with a stray mark is one series', () => {
    const { second, straysMm, candidates } = given([...drum, 150]);
    expect(second).toBeNull();
    expect(straysMm).toEqual([150]);
    expect(candidates[0]?.part).toBe('drum');
    expect(fuser).toHaveLength(4);
  });

  test('seeded: of 200 pages with a drum and a fuser mark, both are named on nearly all that it takes apart', () => {
    const random = seeded(77);
    let apart = 0;
    let both = 0;
    for (let round = 0; round < 200; round++) {
      const conditions = { error: 0.5, missed: 0.05, doubled: 0.05, pageMm: 297 };
      const marks = [94.2, Math.PI * 24].flatMap((period) => marksOfPage(period, random, conditions));
      const { second, candidates, decidable } = given(marks);
      if (second === null || !decidable || !second.decidable) continue;
      apart += 1;
      if ([candidates[0]?.part, second.candidates[0]?.part].sort().join() === 'drum,fuser sleeve') both += 1;
    }
    expect(apart).toBeGreaterThan(60);
    expect(both / apart).toBeGreaterThanOrEqual(0.97);
  });
});

describe('a ghost', () => {
  test('print and echo are one turn apart: two places are enough', () => {
    const { decidable, candidates, periodMm } = given([30, 124.4], { of: 'ghost' });
    expect(periodMm).toBe(94.4);
    expect(decidable).toBe(true);
    expect(candidates[0]?.part).toBe('drum');
  });

  test('at the fuser it is the fuser', () => {
    expect(given([30, 105.2], { of: 'ghost' }).candidates[0]?.part).toBe('fuser sleeve');
  });
});

describe('without a model file', () => {
  test('kinds by general ranges, each with its range, none called sure', () => {
    const { candidates, decidable } = given([10, 104.2, 198.4, 292.6], { parts: [] });
    expect(decidable).toBe(true);
    // Ranges: shared/trade/parts.yaml; common practice, no published source.
    expect(candidates.slice(0, 2).map(({ part }) => part)).toEqual(['drum', 'fuser']);
    for (const { rangeMm, probability } of candidates) {
      expect(rangeMm).toBeDefined();
      expect(probability).toBeLessThan(0.95);
    }
  });

  test.each([15, 20])('%d mm are below every range: no kind is named, and nobody is called sure', (period) => {
    const marks = [0, 1, 2, 3].map((turn) => 20 + turn * period);
    expect(given(marks, { parts: [] }).candidates.filter(({ probability }) => probability > 0.05)).toEqual([]);
    const { ranked } = asked([], 'laser', { marks: { mm: marks, error: 0.5, scale: 1 } });
    expect(ranked[0]?.cause).toBe('turning-part');
    expect(ranked.filter(({ cause }) => /developer|charge/.test(cause))).toEqual([]);
  });
});

test('names of parts and their kinds', () => {
  // Common practice, no published source.
  const names = [
    'OPC drum',
    'primary charge roller',
    'magnetic roller',
    'fuser pressure roller',
    'transfer belt drive',
    'tray 2 pick-up',
    'gizmo',
  ];
  expect(names.map(kindOfPart)).toEqual([
    'drum',
    'charge roller',
    'developer roller',
    'fuser',
    'transfer roller',
    'feed roller',
    undefined,
  ]);
});

describe('simulated readings, seeded; "npx tsx tests/lab/repeat.ts" runs 5000 of each', () => {
  const scores = tally(250);
  test.each(scores.slice(0, 5))('$name', ({ decided, right, readings }) => {
    expect(right / decided).toBeGreaterThanOrEqual(0.97);
    expect(decided / readings).toBeGreaterThan(0.4);
  });
  test('a part that the file does not list is seldom taken for another, and spots for a series seldom', () => {
    expect((scores[5]?.decided ?? 0) / 250).toBeLessThan(0.2);
    expect((scores[6]?.decided ?? 0) / 250).toBeLessThan(0.08);
  });
});

test('whatever is read, an answer comes', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -5000, max: 5000, noNaN: true }), { minLength: 1, maxLength: 12 }),
      fc.double({ min: 0.01, max: 20, noNaN: true }),
      fc.boolean(),
      (marks, error, model) => {
        const series = solveRepeat({ marks, error, parts: model ? MODEL : [] });
        for (const one of series) {
          const sum = one.parts.reduce((total, { probability }) => total + probability, 0);
          expect(sum).toBeLessThanOrEqual(1.000001);
          expect(one.certainty).toBeGreaterThanOrEqual(0);
        }
        expect(JSON.stringify(given(marks, { error, parts: model ? MODEL : [] }))).not.toMatch(/NaN|Infinity/);
      },
    ),
    { numRuns: 150, seed: 5 },
  );
});

test('the deviates of the simulation have the spread that they claim', () => {
  const random = seeded(3);
  const many = Array.from({ length: 4000 }, () => normal(random));
  const mean = many.reduce((a, b) => a + b, 0) / many.length;
  const variance = many.reduce((sum, x) => sum + (x - mean) ** 2, 0) / many.length;
  expect(mean).toBeCloseTo(0, 1);
  expect(variance).toBeCloseTo(1, 1);
});
