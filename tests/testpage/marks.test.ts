import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Mark, SHEETS, type SheetName, testMarks } from '../../src/testpage/marks.js';
import { formatFor, pageOctets } from '../../src/testpage/page.js';
import { describeWithPeers } from '../peers/peer.js';

const AT = new Date('2026-01-31T09:00:00Z');
const FACTS = {
  lines: ['2026-01-31 09:00 UTC, sent by ipp to ipp://192.0.2.21/ipp/print', 'Sandpiper 300, 4711 pages'],
};
const boxes = (marks: readonly Mark[]) => marks.filter((mark) => mark.kind === 'box');

describe('the marks', () => {
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
      const marks = testMarks(sheet, FACTS);
      for (const box of boxes(marks)) {
        expect(box.x).toBeGreaterThanOrEqual(4);
        expect(box.x + box.w).toBeLessThanOrEqual(width - 4);
        expect(box.y + box.h).toBeLessThanOrEqual(height - 4);
      }
      const ticks = boxes(marks).filter(({ x, w }) => x === 8 && w <= 5);
      expect(ticks).toHaveLength(Math.floor(height - 20) + 1);
    },
  );

  test('the first format that is taken; PDF where nothing is known; none where none is', () => {
    expect(formatFor(['image/urf', 'Application/PostScript'])).toBe('application/postscript');
    expect(formatFor([])).toBe('application/pdf');
    expect(formatFor(['image/pwg-raster'])).toBeUndefined();
  });

  test('the same page twice is the same octets', async () => {
    const once = await pageOctets('application/pdf', 'a4', FACTS, AT);
    expect(Buffer.from(await pageOctets('application/pdf', 'a4', FACTS, AT)).equals(Buffer.from(once))).toBe(true);
  });

  test('plain text is plain: signs, line ends, a form feed at the end', async () => {
    const text = Buffer.from(await pageOctets('text/plain', 'a4', { lines: ['naïve\u0007'] }, AT)).toString('latin1');
    expect(text).toMatch(/^[\x20-\x7e\r\n]+\f$/);
    expect(text).toContain('na?ve?');
  });
});

interface Picture {
  readonly perMm: number;
  /** 0 black to 255 white. */
  readonly at: (xMm: number, yMm: number) => number;
}

/** A grey map as netpbm's format page has it (PGM, P5). */
function pictureOf(file: string, dpi: number): Picture {
  const bytes = readFileSync(file);
  const header = /^P5\s(?:#.*\n)?\s*(\d+)\s+\d+\s+255\s/.exec(bytes.subarray(0, 120).toString('latin1'));
  const start = header?.[0].length ?? 0;
  const width = Number(header?.[1]);
  const perMm = dpi / 25.4;
  return { perMm, at: (x, y) => bytes[start + Math.round(y * perMm) * width + Math.round(x * perMm)] ?? -1 };
}

/** Where dark begins and ends along a line down the page. */
function darkSpan({ at, perMm }: Picture, x: number, from: number, to: number): readonly [number, number] {
  const dark: number[] = [];
  for (let y = from; y <= to; y += 1 / perMm) if (at(x, y) < 128) dark.push(y);
  return [dark[0] ?? Number.NaN, dark.at(-1) ?? Number.NaN];
}

const DPI = 600;

/** Rendered by two programs of other origin, measured against what the page claims: at most 0.1 mm off. */
describeWithPeers('the page as others draw it', ['pdftoppm', 'gs'], () => {
  let folder: string;
  const pictures = new Map<string, Picture>();
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-page-'));
    for (const sheet of ['a4', 'letter'] as const) {
      const pdf = join(folder, `${sheet}.pdf`);
      writeFileSync(pdf, await pageOctets('application/pdf', sheet, FACTS, AT));
      execFileSync('pdftoppm', ['-gray', '-r', String(DPI), '-singlefile', pdf, join(folder, `${sheet}-pdf`)]);
      const ps = join(folder, `${sheet}.ps`);
      writeFileSync(ps, await pageOctets('application/postscript', sheet, FACTS, AT));
      const out = join(folder, `${sheet}-ps.pgm`);
      execFileSync('gs', ['-q', '-dSAFER', '-dBATCH', '-dNOPAUSE', '-sDEVICE=pgmraw', `-r${DPI}`, '-o', out, ps]);
      for (const kind of ['pdf', 'ps'])
        pictures.set(`${sheet} ${kind}`, pictureOf(join(folder, `${sheet}-${kind}.pgm`), DPI));
    }
  }, 60_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test.each([
    ['a4 pdf', 'a4'],
    ['a4 ps', 'a4'],
    ['letter pdf', 'letter'],
    ['letter ps', 'letter'],
  ] as const)('%s: band, crosses, ruler and line lie where they should', (name, sheet) => {
    const picture = pictures.get(name) as Picture;
    const { width, height } = SHEETS[sheet];
    const near = (got: number, wanted: number) =>
      expect(Math.abs(got - wanted), `${got} for ${wanted}`).toBeLessThanOrEqual(0.1);
    const [bandFrom, bandTo] = darkSpan(picture, 100, 26, 44);
    near(bandFrom, 30);
    near(bandTo, 42);
    const [lineFrom, lineTo] = darkSpan(picture, 60, height - 25, height - 17);
    near(lineFrom, height - 20);
    near(lineTo, height - 19.5);
    for (const x of [20, width - 20]) {
      const [from, to] = darkSpan(picture, x + 3, 18, 22);
      near((from + to) / 2, 20);
    }
    for (const mm of [50, 100, 250]) {
      const [from, to] = darkSpan(picture, 10, mm - 0.4, mm + 0.4);
      near((from + to) / 2, mm);
    }
    // The field in which a ghost would show is white.
    for (let y = 55; y < height - 100; y += 1) expect(picture.at(100, y)).toBe(255);
  });
});
