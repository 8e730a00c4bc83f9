import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  gradeOf,
  gsmOfPounds,
  gsmPerPound,
  paperReading,
  poundsOfGsm,
  readPaperWeight,
} from '../../src/defects/paper.js';
import { MEDIA_SIZES } from '../../src/registry/media.generated.js';

interface CheckValues {
  readonly grades: readonly { readonly grade: string; readonly gsmPerLb: number }[];
  readonly examples: readonly { readonly grade: string; readonly lb: number; readonly gsm: number }[];
  readonly reverse: readonly {
    readonly gsm: number;
    readonly bond: number;
    readonly text: number;
    readonly cover: number;
  }[];
}

/** Computed from basis sizes (from memory), 1 lb = 453.59237 g, a ream of 500; its `source` says so. */
const VALUES = JSON.parse(readFileSync(new URL('paper-check-values.json', import.meta.url), 'utf8')) as CheckValues;

function grade(word: string) {
  const found = gradeOf(word);
  if (found === undefined) throw new Error(`no grade ${word}`);
  return found;
}

describe('weights', () => {
  test.each(VALUES.grades)('one pound of $grade is $gsmPerLb g/m²', ({ grade: word, gsmPerLb }) => {
    expect(gsmPerPound(grade(word))).toBeCloseTo(gsmPerLb, 4);
  });
  test.each(VALUES.examples)('$lb lb $grade is $gsm g/m²', ({ grade: word, lb, gsm }) => {
    expect(gsmOfPounds(lb, grade(word))).toBeCloseTo(gsm, 1);
  });
  test.each(VALUES.reverse)('$gsm g/m² in pounds', ({ gsm, ...pounds }) => {
    for (const [word, lb] of Object.entries(pounds)) expect(poundsOfGsm(gsm, grade(word))).toBeCloseTo(lb, 1);
  });

  test('by hand: 20 lb bond is 20 × 453.59237 g over 500 sheets of 17 × 22 in', () => {
    expect(gsmOfPounds(20, grade('bond'))).toBeCloseTo((20 * 453.59237) / (500 * 17 * 22 * 0.0254 ** 2), 9);
    expect(gsmOfPounds(20, grade('bond'))).toBeCloseTo(75.2, 1);
  });
});

test('weights as people write them', () => {
  expect(readPaperWeight('80')).toBe(80);
  expect(readPaperWeight('80 g/m2')).toBe(80);
  expect(readPaperWeight('80 g/m²')).toBe(80);
  expect(readPaperWeight('80gsm')).toBe(80);
  expect(readPaperWeight('20 lb bond')).toBeCloseTo(75.2, 1);
  expect(readPaperWeight('65# cover')).toBeCloseTo(175.8, 1);
  expect(readPaperWeight('60 lbs book')).toBeCloseTo(88.8, 1);
  for (const wrong of ['', 'thick', '20 lb', '20 lb papyrus', '5 g/m2', '9999', '-80', '8e1']) {
    expect(readPaperWeight(wrong), wrong).toBeUndefined();
  }
});

test('too light creases, ordinary, heavy: advice by weight (common practice, no published source)', () => {
  expect(paperReading(52, undefined).advice.join()).toContain('crease');
  expect(paperReading(80, undefined).advice.join()).toContain('ordinary');
  expect(paperReading(120, undefined).advice.join()).toContain('duplex');
  expect(paperReading(250, undefined).advice.join()).toContain('one side only');
  expect(paperReading(70, 'across').advice.join()).toContain('grain');
  expect(paperReading(75.19, undefined)).toMatchObject({ gsm: 75.2, pounds: { bond: 20, text: 50.8 } });
});

/** ISO 216 (2007), sizes in mm, as tabulated there: read in a secondary text. */
const ISO_216: Readonly<Record<string, readonly [number, number]>> = {
  iso_a2_420x594mm: [420, 594],
  iso_a3_297x420mm: [297, 420],
  iso_a4_210x297mm: [210, 297],
  iso_a5_148x210mm: [148, 210],
  iso_a6_105x148mm: [105, 148],
  iso_b4_250x353mm: [250, 353],
  iso_b5_176x250mm: [176, 250],
};

describe('media sizes', () => {
  test.each(Object.entries(ISO_216))('%s by ISO 216', (name, [width, length]) => {
    expect(MEDIA_SIZES[name]).toEqual({ x: width * 100, y: length * 100 });
  });

  test('every self-describing name (PWG 5101.1 section 5) says its own size', () => {
    for (const [name, { x, y }] of Object.entries(MEDIA_SIZES)) {
      const match = /_(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)(mm|in)$/.exec(name);
      const unit = match?.[3] === 'in' ? 2540 : 100;
      expect(Math.abs(Number(match?.[1]) * unit - x), name).toBeLessThanOrEqual(1);
      expect(Math.abs(Number(match?.[2]) * unit - y), name).toBeLessThanOrEqual(1);
    }
  });

  test('sides of the A and B series stand as one to the root of two (ISO 216)', () => {
    for (const [width, length] of Object.values(ISO_216)) expect(length / width).toBeCloseTo(Math.SQRT2, 1);
  });
});
