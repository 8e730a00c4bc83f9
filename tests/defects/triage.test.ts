import { describe, expect, test } from 'vitest';
import { explainDefect } from '../../src/defects/defect.js';
import { symptomOf } from '../../src/defects/symptoms.js';
import type { Technology } from '../../src/registry/trade.js';
import { asked } from './asked.js';

// Every statement here: common practice, no published source.

/** What the trade says, the symptom, and the cause that must come first. */
const FIRST: readonly (readonly [says: string, technology: Technology, word: string, cause: string, part: string])[] = [
  [
    'a scratch on the drum gives an unbroken streak along the feed',
    'laser',
    'streak along the feed',
    'drum-worn',
    'drum',
  ],
  ['a scratch on the drum gives a repeating mark', 'laser', 'repeating marks', 'drum-worn', 'drum'],
  ['toner that rubs off points to the fuser', 'laser', 'smudge that rubs off', 'fuser-cold', 'fuser'],
  ['ghosts point to the cleaning of the drum', 'laser', 'ghost', 'cleaning-worn', 'cleaning blade'],
  ['the wrong language gives garbage', 'laser', 'garbled characters', 'wrong-language', 'driver'],
  ['thin paper creases', 'laser', 'crease', 'paper-thin', 'paper'],
  ['worn pick-up rollers misfeed', 'laser', 'no feed', 'pickup-worn', 'pick-up roller'],
  ['too little memory gives a partial page', 'laser', 'partial page', 'memory-short', 'page memory'],
  ['a worn separation pad lets several sheets in', 'laser', 'multi-feed', 'separation-worn', 'separation pad'],
  ['a blank page speaks first of development', 'laser', 'blank', 'developer-fault', 'developer unit'],
  ['a black page speaks of lost charge', 'laser', 'black-page', 'charge-fault', 'charge roller'],
  ['pale all over speaks of toner', 'laser', 'faded', 'toner-low', 'toner cartridge'],
  ['pale in one colour speaks of that toner', 'laser', 'faded one colour', 'toner-low', 'toner cartridge'],
  [
    'a light line along the feed speaks of dirt on the optics',
    'laser',
    'white streak',
    'optics-dirty',
    'laser window or LED bar',
  ],
  ['bands across speak of the drive', 'laser', 'line across', 'drive-uneven', 'drive gears'],
  ['haze speaks of unfit toner', 'laser', 'background haze', 'toner-unfit', 'toner cartridge'],
  ['specks without order speak of loose toner', 'laser', 'spots', 'toner-spilled', 'inside of the printer'],
  ['voids in solids speak of damp paper', 'laser', 'voids', 'paper-damp', 'paper'],
  ['colour fringes ask for calibration', 'laser', 'colour shifted', 'calibration-due', 'colour registration'],
  ['a slant speaks of the guides', 'laser', 'skew', 'tray-guides', 'tray guides'],
  ['curl speaks of damp paper', 'laser', 'curl', 'paper-damp', 'paper'],
  ['a jam before the image speaks of a scrap', 'laser', 'jam inside', 'scrap-in-path', 'paper path'],
  ['sheets caught on their way out speak of the exit', 'laser', 'jam at exit', 'exit-blocked', 'exit and output tray'],
  ['a jam without paper speaks of a scrap at a sensor', 'laser', 'jam without paper', 'scrap-in-path', 'paper path'],
  ['a staircase is a missing carriage return', 'laser', 'staircase', 'line-ends', 'line-end translation'],
  ['ink: a colour is missing where nozzles are blocked', 'inkjet', 'faded one colour', 'nozzles-blocked', 'print head'],
  ['ink: lines across come from blocked nozzles', 'inkjet', 'line across', 'nozzles-blocked', 'print head'],
  ['ink: smears speak of the wrong side of the paper', 'inkjet', 'smudge', 'paper-side', 'paper'],
  ['ink: doubled uprights ask for alignment', 'inkjet', 'doubled lines', 'head-misaligned', 'print head alignment'],
  ['labels: blank paper is the wrong way round', 'thermal', 'blank', 'thermal-side', 'paper'],
  ['labels: a white line is dirt on a dot first', 'thermal', 'white streak', 'thermal-dirt', 'print head'],
  ['labels: pale on one side is uneven pressure', 'thermal', 'faded one side', 'thermal-pressure', 'head pressure'],
  ['impact: pale all over is a spent ribbon', 'impact', 'faded', 'ribbon-spent', 'ribbon'],
  ['impact: a white row is a stuck pin first', 'impact', 'line across', 'pin-stuck', 'print head'],
  [
    'impact: uprights that zigzag ask for bidirectional alignment',
    'impact',
    'doubled lines',
    'bidirectional-off',
    'bidirectional alignment',
  ],
];

test.each(FIRST)('%s (%s)', (_says, technology, word, cause, part) => {
  const { ranked } = asked([word], technology);
  expect(ranked[0]).toMatchObject({ cause, part });
  expect(ranked[0]?.next.length).toBeGreaterThan(0);
});

const odds = (doc: ReturnType<typeof asked>, cause: string): number =>
  doc.ranked.find((one) => one.cause === cause)?.probability ?? 0;

describe('symptoms together', () => {
  test('probabilities sum to one at most, in falling order', () => {
    const { ranked } = asked(['streak', 'ghost'], 'laser');
    expect(ranked.reduce((sum, { probability }) => sum + probability, 0)).toBeLessThanOrEqual(1.001);
    expect(ranked.map(({ probability }) => probability)).toEqual(
      ranked.map(({ probability }) => probability).sort((a, b) => b - a),
    );
  });

  test('a streak and a ghost speak more of the cleaning blade than either alone', () => {
    const both = odds(asked(['streak', 'ghost'], 'laser'), 'cleaning-worn');
    expect(both).toBeGreaterThan(odds(asked(['streak'], 'laser'), 'cleaning-worn'));
    expect(both).toBeGreaterThan(odds(asked(['ghost'], 'laser'), 'cleaning-worn'));
  });

  test('by hand: the odds of two causes are the product of priors and chances', () => {
    // causes.yaml: cleaning-worn prior 5, streak 0.5, ghost 0.5; drum-worn prior 12, streak 0.4, ghost 0.15.
    const doc = asked(['streak', 'ghost'], 'laser');
    expect(odds(doc, 'cleaning-worn') / odds(doc, 'drum-worn')).toBeCloseTo((5 * 0.5 * 0.5) / (12 * 0.4 * 0.15), 1);
  });

  test('what no single cause shows is called two faults', () => {
    expect(asked(['no-feed', 'garbled'], 'laser').notes.join()).toContain('two faults');
    expect(asked(['streak', 'ghost'], 'laser').notes.join()).not.toContain('two faults');
  });

  test('the same word twice, in any spelling, counts once', () => {
    expect(symptomOf('Faded One Color')).toBe(symptomOf('faded-one-colour'));
    expect(symptomOf('multi feed')).toBe(symptomOf('multifeed'));
    expect(symptomOf('constructor')).toBeUndefined();
  });
});

describe('answers', () => {
  const answered = (check: string, outcome: string, words = ['smudge']) =>
    asked(words, 'laser', { answers: [{ check, outcome }] });

  test('fresh paper that cures it blames paper and setting; that does not, the fuser', () => {
    const { ranked } = answered('fresh-paper', 'gone');
    expect(['media-setting', 'paper-damp', 'paper-heavy']).toContain(ranked[0]?.cause);
    expect(answered('fresh-paper', 'stays').ranked[0]).toMatchObject({ cause: 'fuser-cold', part: 'fuser' });
  });

  test('by hand: Bayes for one answer', () => {
    // causes.yaml and checks.yaml: fuser-cold 5 × 0.8 × 0.96; media-setting 7 × 0.4 × 0.15.
    const doc = answered('fresh-paper', 'stays');
    expect(odds(doc, 'fuser-cold') / odds(doc, 'media-setting')).toBeCloseTo((5 * 0.8 * 0.96) / (7 * 0.4 * 0.15), 0);
  });

  test('a check that was answered is not asked again, and the list is best first', () => {
    const { checks } = answered('fresh-paper', 'stays');
    expect(checks.map(({ id }) => id)).not.toContain('fresh-paper');
    expect(asked(['no-feed'], 'laser').checks[0]?.bits).toBeGreaterThan(0.1);
  });

  test('a later answer takes the place of an earlier one', () => {
    const twice = asked(['smudge'], 'laser', {
      answers: [
        { check: 'fresh-paper', outcome: 'gone' },
        { check: 'fresh-paper', outcome: 'stays' },
      ],
    });
    expect(odds(twice, 'fuser-cold')).toBe(odds(answered('fresh-paper', 'stays'), 'fuser-cold'));
  });

  test('for a sheet that is not fed, fresh paper and another tray are tried first', () => {
    const checks = asked(['no-feed'], 'laser').checks.map(({ id }) => id);
    expect(checks.slice(0, 2)).toEqual(['fresh-paper', 'other-tray']);
  });

  test('a check that needs a trained person never comes first', () => {
    for (const word of ['streak', 'ghost', 'repeating-marks', 'blank']) {
      expect(asked([word], 'laser').checks[0]?.id).not.toBe('before-fuser');
    }
  });

  test('checks ask of what was seen', () => {
    expect(asked(['smudge'], 'laser').checks.map(({ id }) => id)).not.toContain('where-stops');
    expect(asked(['jam'], 'laser').checks.map(({ id }) => id)).toContain('where-stops');
  });
});

describe('marks and causes', () => {
  const parts = [
    { part: 'drum', circumferenceMm: 94.2 },
    { part: 'fuser sleeve', circumferenceMm: 75.4 },
    { part: 'pressure roller', circumferenceMm: 81.7 },
    { part: 'gizmo', circumferenceMm: 52.3 },
  ];
  const at = (mm: readonly number[], words: readonly string[] = []) =>
    asked(words, 'laser', { parts, marks: { mm, error: 0.5, scale: 1 } });

  test('marks without a word are repeating marks, and blame the part of the model by its name', () => {
    const doc = at([20, 101.7, 183.4, 265.1]);
    expect(doc.symptoms).toEqual(['repeating-marks']);
    expect(doc.ranked[0]).toMatchObject({ cause: 'fuser-roller', part: 'pressure roller' });
    expect(doc.ranked[0]?.probability).toBeGreaterThan(0.8);
  });

  test('a part of no known kind is named all the same', () => {
    expect(at([20, 72.3, 124.6, 176.9, 229.2]).ranked[0]).toMatchObject({ cause: 'turning-part', part: 'gizmo' });
  });

  test('a ghost at the distance of the fuser blames the fuser, at that of the drum its cleaning', () => {
    expect(['fuser-roller', 'media-setting']).toContain(at([30, 105.4], ['ghost']).ranked[0]?.cause);
    expect(
      at([30, 105.4], ['ghost'])
        .ranked.slice(0, 3)
        .map(({ cause }) => cause),
    ).not.toContain('cleaning-worn');
    expect(at([30, 124.2], ['ghost']).ranked[0]?.cause).toBe('cleaning-worn');
  });
});

test('a technology that is not told: the commonest that shows it', () => {
  const doc = explainDefect({
    target: null,
    symptoms: [symptomOf('doubled-lines')].filter((s) => s !== undefined),
    told: {},
    answers: [],
    geometry: null,
    notes: [],
  });
  expect(doc).toMatchObject({ technology: 'inkjet', technologyFrom: 'assumed' });
  expect(doc.notes.join()).toContain('Taken for an inkjet printer');
});

test('what a technology can not show has no cause, and no check', () => {
  const doc = asked(['ghost'], 'impact');
  expect(doc.ranked).toEqual([]);
  expect(doc.checks).toEqual([]);
});

describe('an inkjet printer has no fuser', () => {
  const said = (technology: 'laser' | 'inkjet') => {
    const { ranked, checks } = asked(['jam'], technology);
    return [...ranked.flatMap(({ next }) => next), ...checks].flatMap(({ cautions }) => cautions).join(' ');
  };

  test('so nobody waits for one to cool; what else can hurt is said all the same', () => {
    expect(said('laser')).toMatch(/fuser works at/);
    expect(said('inkjet')).not.toMatch(/fuser|drum|laser/i);
    expect(said('inkjet')).toMatch(/pull the plug, keep the plug in sight, and let the machine cool/);
    expect(said('inkjet')).toMatch(/Rollers may start by themselves/);
  });
});
