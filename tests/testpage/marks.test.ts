import { describe, expect, test } from 'vitest';
import type { PageFormat } from '../../src/testpage/formats.js';
import { type Mark, SHEETS, type SheetName, testMarks } from '../../src/testpage/marks.js';
import { pageOctets } from '../../src/testpage/page.js';

const ASKED = {
  sheet: 'a4' as SheetName,
  facts: { lines: ['2026-01-31 09:00 UTC, sent by ipp to ipp://192.0.2.21/ipp/print', 'Sandpiper 300, 4711 pages'] },
  madeAt: new Date('2026-01-31T09:00:00Z'),
  dots: { type: 'sgray_8', dpi: { x: 300, y: 300 } },
  colour: true,
} as const;
const boxes = (marks: readonly Mark[]) => marks.filter((mark) => mark.kind === 'box');

// ISO 216 A4; ANSI/ASME Y14.1 A; names by PWG 5101.1.
test('sheets', () => {
  expect(SHEETS.a4).toEqual({ keyword: 'iso_a4_210x297mm', width: 210, height: 297 });
  expect([SHEETS.letter.width / 25.4, SHEETS.letter.height / 25.4].map((inches) => inches.toFixed(3))).toEqual([
    '8.500',
    '11.000',
  ]);
});

test.each<SheetName>(['a4', 'letter'])(
  '%s: everything lies on the sheet, a tick for each millimetre on both edges',
  (sheet) => {
    const { width, height } = SHEETS[sheet];
    const marks = testMarks(sheet, ASKED.facts);
    for (const box of boxes(marks)) {
      expect(box.x).toBeGreaterThanOrEqual(4);
      expect(box.x + box.w).toBeLessThanOrEqual(width - 4);
      expect(box.y + box.h).toBeLessThanOrEqual(height - 4);
    }
    const ticks = boxes(marks).filter(({ x, w }) => x === 8 && w <= 5);
    expect(ticks).toHaveLength(Math.floor(height - 20) + 1);
  },
);

test('the page says when, by which route, to where, and how many pages came before', () => {
  const words = testMarks('a4', ASKED.facts).flatMap((mark) => (mark.kind === 'text' ? [mark.text] : []));
  expect(words).toEqual(expect.arrayContaining([...ASKED.facts.lines]));
});

test.each<PageFormat>(['pdf', 'postscript', 'pwg-raster', 'pcl5', 'text'])(
  '%s: the same page twice is the same octets',
  async (format) => {
    const once = await pageOctets(format, ASKED);
    expect((await pageOctets(format, ASKED)).equals(once)).toBe(true);
  },
);

describe('a name that a printer gave can not break out of the page', () => {
  const hostile = { ...ASKED, facts: { lines: ['naïve\u0007', ') show \\ \x1b*c0P \x1b%-12345X'] } };

  test('plain text is plain: signs, line ends, a form feed at the end', async () => {
    const text = (await pageOctets('text', hostile)).toString('latin1');
    expect(text).toMatch(/^[\x20-\x7e\r\n]+\f$/);
    expect(text).toContain('na?ve?');
  });

  test('PCL 5 holds no escape but its own', async () => {
    const own = (await pageOctets('pcl5', { ...hostile, facts: { lines: ['', ''] } })).filter((octet) => octet === 27);
    const all = (await pageOctets('pcl5', hostile)).filter((octet) => octet === 27);
    expect(all.length).toBe(own.length);
  });
});
