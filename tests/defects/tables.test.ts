import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { CAUTION_NAMES } from '../../src/defects/cautions.js';
import { PART_KINDS } from '../../src/defects/rotating-parts.js';
import { technologiesOf } from '../../src/defects/symptoms.js';
import { tradeModule } from '../../src/registry/generate-trade.js';
import { CAUSES, CHECKS, PAPER, PART_RANGES, SIGNS, SYMPTOMS } from '../../src/registry/trade.generated.js';
import { SKETCHED } from '../../src/render/defect-sketches.js';

const words = SYMPTOMS.map(({ word }) => word);
const causes = CAUSES.map(({ id }) => id);
const unknown = (found: Iterable<string>, known: readonly string[]) => [...found].filter((one) => !known.includes(one));
const twice = (list: readonly string[]) => list.filter((one, at) => list.indexOf(one) !== at);

test('the generated tables are what shared/trade gives', () => {
  const committed = readFileSync(new URL('../../src/registry/trade.generated.ts', import.meta.url), 'utf8');
  expect(committed, 'out of date: npm run generate').toBe(tradeModule());
});

describe('symptoms', () => {
  test('every word stands once, and for one symptom', () => {
    expect(twice(SYMPTOMS.flatMap(({ word, also }) => [word, ...also]))).toEqual([]);
    expect(
      unknown(
        SYMPTOMS.flatMap(({ anyOf = [] }) => anyOf),
        words,
      ),
    ).toEqual([]);
  });

  test('each has a cause and a drawing', () => {
    expect(SYMPTOMS.filter((symptom) => technologiesOf(symptom).length === 0).map(({ word }) => word)).toEqual([]);
    expect([...SKETCHED].sort()).toEqual([...words].sort());
  });

  test('the words that people use for bad pages are all there', () => {
    const asked = [
      'blank',
      'faded',
      'faded-one-side',
      'faded-one-colour',
      'streak',
      'line-across',
      'repeating-marks',
      'ghost',
      'background-haze',
      'smudge',
      'wrong-colour',
      'colour-shifted',
      'garbled',
      'partial-page',
      'skew',
      'crease',
      'jam',
      'multi-feed',
      'no-feed',
    ];
    expect(unknown(asked, words)).toEqual([]);
  });
});

describe('causes', () => {
  test('ids stand once; symptoms, cautions and kinds of parts are known', () => {
    expect(twice(causes)).toEqual([]);
    expect(
      unknown(
        CAUSES.flatMap(({ shows }) => Object.keys(shows)),
        words,
      ),
    ).toEqual([]);
    expect(
      unknown(
        CAUSES.flatMap(({ next }) => next.flatMap(({ cautions }) => cautions)),
        CAUTION_NAMES,
      ),
    ).toEqual([]);
    const kinds = CAUSES.flatMap(({ turns, echoes }) => [turns, echoes].filter((kind) => kind !== undefined));
    expect(unknown(kinds, [...PART_KINDS, 'other'])).toEqual([]);
  });

  test('every row has a source in words', () => {
    for (const { id, source } of CAUSES) expect(source, id).toMatch(/common practice|from memory|\(|,/);
    for (const { id, source } of CHECKS) expect(source, id).not.toBe('');
  });

  /** What a step speaks of, and the caution that must stand beside it. */
  const CARE: readonly (readonly [RegExp, string])[] = [
    [/fuser be|open every user door|duplex unit or rear/i, 'FUSER'],
    [/toner (cartridge|unit) out|Exchange the toner/i, 'TONER'],
    [/high-voltage|bias voltage/i, 'VOLTAGE'],
    [/laser or LED unit to|mirrors and window/i, 'LASER'],
    [/qualified person/i, 'PERSON'],
    [/alcohol/i, 'ALCOHOL'],
  ];

  test.each(CARE)('a step that says %s has the caution %s', (words_, caution) => {
    const steps = CAUSES.flatMap(({ next }) => next).filter(({ step }) => words_.test(step));
    expect(steps.length).toBeGreaterThan(0);
    expect(steps.filter(({ cautions }) => !cautions.includes(caution)).map(({ step }) => step)).toEqual([]);
  });
});

describe('checks and signs', () => {
  test('ids stand once; rows sum to one; causes, symptoms and cautions are known', () => {
    expect(twice(CHECKS.map(({ id }) => id))).toEqual([]);
    for (const { id, outcomes, others, places = {}, causes: rows } of CHECKS) {
      for (const row of [others, ...Object.values(places), ...Object.values(rows)]) {
        expect(row, id).toHaveLength(outcomes.length);
        expect(
          row.reduce((a, b) => a + b, 0),
          `${id}: ${row.join()}`,
        ).toBeCloseTo(1, 6);
      }
    }
    expect(
      unknown(
        CHECKS.flatMap((check) => Object.keys(check.causes)),
        causes,
      ),
    ).toEqual([]);
    expect(
      unknown(
        CHECKS.flatMap((check) => check.with),
        words,
      ),
    ).toEqual([]);
    expect(
      unknown(
        CHECKS.flatMap(({ cautions }) => cautions),
        CAUTION_NAMES,
      ),
    ).toEqual([]);
  });

  test('a check speaks of a cause only where its technology has it', () => {
    const wrong = CHECKS.flatMap((check) =>
      Object.keys(check.causes).filter(
        (id) => !CAUSES.find((cause) => cause.id === id)?.for.some((one) => check.for.includes(one)),
      ),
    );
    expect(wrong).toEqual([]);
  });

  test('signs speak of known causes, each once', () => {
    expect(twice(SIGNS.map(({ when }) => when))).toEqual([]);
    expect(
      unknown(
        SIGNS.flatMap(({ factors }) => Object.keys(factors)),
        causes,
      ),
    ).toEqual([]);
  });

  test('kinds of parts have a range; paper advice names signs', () => {
    expect(
      unknown(
        PART_KINDS,
        PART_RANGES.map(({ kind }) => kind),
      ),
    ).toEqual([]);
    expect(PART_RANGES.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 6);
    expect(
      unknown(
        PAPER.advice.map(({ sign }) => sign),
        SIGNS.map(({ when }) => when),
      ),
    ).toEqual([]);
  });
});
