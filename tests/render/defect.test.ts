import { createHash } from 'node:crypto';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { symptomWords } from '../../src/defects/symptoms.js';
import type { DefectDocument } from '../../src/model/defect.js';
import { renderDefectPage } from '../../src/render/defect-html.js';
import { defectSketch, SKETCHED } from '../../src/render/defect-sketches.js';
import { renderDefect } from '../../src/render/defect-text.js';
import { asked } from '../defects/asked.js';
import { HOSTILE } from './why-samples.js';

const MARKS = { mm: [10, 104.2, 198.4, 292.6, 150], error: 0.5, scale: 1 };
const PARTS = [{ part: 'drum', circumferenceMm: 94.2 }];
const full = () =>
  asked(['ghost', 'streak'], 'laser', {
    marks: MARKS,
    parts: PARTS,
    told: { gsm: 52, grain: 'across', humidity: 70 },
    answers: [{ check: 'copies-only', outcome: 'prints-too' }],
    geometry: {
      scaleX: 1,
      scaleY: 1,
      skewDegrees: 1,
      shearDegrees: 0,
      offsetMm: null,
      residualMm: null,
      says: ['Turned.'],
    },
  });

/** Every text that may come from outside, hostile. */
function hostile(): DefectDocument {
  const doc = asked(['repeating-marks'], 'laser', {
    target: HOSTILE,
    marks: MARKS,
    parts: [{ part: HOSTILE, circumferenceMm: 94.2 }],
    notes: [HOSTILE],
  });
  return { ...doc, signs: [HOSTILE], ranked: doc.ranked.map((one) => ({ ...one, part: HOSTILE, because: [HOSTILE] })) };
}

const ACTING = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/u;

/** One part's size among the candidates, as it is written. */
function sizeOf(part: string, marks: readonly number[]): string | undefined {
  const parts = [...PARTS, { part: 'fuser', circumferenceMm: 75.4 }];
  const doc = asked([], 'laser', { marks: { mm: marks, error: 0.5, scale: 1 }, parts });
  const texts = [renderDefect(doc, { color: false, columns: 80 }), renderDefectPage(doc).replace(/<[^>]+>/g, '')];
  const sizes = texts.map(
    (text) => new RegExp(`${part}, ([\\d.]+ mm, (?:fits|fits badly|does not fit))`).exec(text)?.[1],
  );
  expect(sizes[0]).toBe(sizes[1]);
  return sizes[0];
}

describe('text', () => {
  test('of a part it says whether its size fits, and of marks without a distance that there is none to tell', () => {
    expect(sizeOf('drum', [10, 104.2, 198.4])).toBe('94.2 mm, fits');
    expect(sizeOf('fuser', [10, 104.2, 198.4])).toBe('75.4 mm, does not fit');
    const none = asked([], 'laser', { marks: { mm: [50], error: 0.5, scale: 1 } });
    expect(renderDefect(none, { color: false, columns: 80 })).toContain('They return at no distance that can be told.');
  });

  test.each([40, 80, 100])('fits %i columns', (columns) => {
    for (const doc of [full(), hostile(), asked([], 'laser')]) {
      const lines = renderDefect(doc, { color: false, columns }).split('\n');
      expect(Math.max(...lines.map((line) => stringWidth(line)))).toBeLessThanOrEqual(columns);
    }
  });

  test('the likeliest cause, then marks, steps with cautions, other causes, checks, notes', () => {
    const text = renderDefect(full(), { color: false, columns: 80 });
    const order = [
      'ghost and streak, a laser printer',
      'Marks',
      'Paper',
      'Next step',
      'Care:',
      'What it may be',
      'What would tell',
      'Note',
    ];
    const at = order.map((part) => text.indexOf(part));
    expect(
      at.every((place) => place >= 0),
      order[at.indexOf(-1)],
    ).toBe(true);
    expect(at).toEqual([...at].sort((a, b) => a - b));
    expect(text).toContain('common practice, no published source');
    expect(text).toMatch(/Belonging to none: 150\.0 mm/);
  });

  test('each caution once', () => {
    const cautions = renderDefect(full(), { color: false, columns: 100 })
      .split('\n')
      .filter((line) => line.includes('Care:'));
    expect(new Set(cautions.map((line) => line.trim())).size).toBe(cautions.length);
  });

  test('hostile text does not act; colour adds nothing but colour', () => {
    expect(renderDefect(hostile(), { color: false, columns: 80 })).not.toMatch(ACTING);
    const plain = renderDefect(full(), { color: false, columns: 80 });
    expect(renderDefect(full(), { color: true, columns: 80 }).replace(/\u001b\[[0-9;]*m/g, '')).toBe(plain);
  });
});

describe('page', () => {
  const pages = [renderDefectPage(full()), renderDefectPage(hostile()), renderDefectPage(asked([], 'laser'))];

  test('nothing may be loaded or run: only the style sheet inside, by its hash', () => {
    for (const page of pages) {
      const style = /<style>(.*?)<\/style>/s.exec(page)?.[1] ?? '';
      const hash = createHash('sha256').update(style).digest('base64');
      expect(page).toContain(
        `content="default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'"`,
      );
      expect(page).not.toMatch(/\sstyle=|<script|<link|<img|https?:\/\/|url\(/);
    }
  });

  test('hostile text is text, and there is an end to it', () => {
    const page = pages[1] ?? '';
    expect(page).not.toMatch(/<script|<img|onerror="/);
    expect(page).not.toMatch(ACTING);
    expect(page).toContain('&lt;script&gt;alert(1)');
    expect(page.length).toBeLessThan(120_000);
  });

  test('drawings of what was seen; of everything when nothing was said', () => {
    expect(pages[0]?.match(/<svg class="sketch"/g)).toHaveLength(2);
    expect(pages[2]?.match(/<svg class="sketch"/g)).toHaveLength(symptomWords('laser').length);
  });

  test('the same data gives the same page', () => {
    expect(renderDefectPage(full())).toBe(pages[0]);
  });
});

test('drawings differ from each other and hold no colour of their own', () => {
  const drawings = SKETCHED.map((word) => defectSketch(word)?.html ?? '');
  expect(new Set(drawings).size).toBe(SKETCHED.length);
  for (const html of drawings) {
    expect(html).not.toMatch(/fill=|stroke=|style=|#[0-9a-f]{3}/i);
    expect((html.match(/<(path|rect|circle|g|svg)\b/g) ?? []).length).toBe(
      (html.match(/\/>|<\/(g|svg)>/g) ?? []).length,
    );
  }
  expect(defectSketch('constructor')).toBeNull();
});
