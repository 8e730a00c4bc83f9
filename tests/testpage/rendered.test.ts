import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { PageFormat } from '../../src/testpage/formats.js';
import { SHEETS, type SheetName, testMarks } from '../../src/testpage/marks.js';
import { pageOctets } from '../../src/testpage/page.js';
import { type DotFormat, pwgRasterOf } from '../../src/testpage/pwg-raster.js';
import { sniff } from '../../src/wire/job/sniff.js';
import { describeWithPeers } from '../peers/peer.js';
import { readPcl } from './pcl-reader.js';
import { darkAcross, darkDown, type Picture, pictureFrom, pictureOf } from './picture.js';

const FACTS = {
  lines: ['2026-01-31 09:00 UTC, sent by ipp to ipp://192.0.2.21/ipp/print', 'Sandpiper 300, 4711 pages'],
};
const DPI = 600;
const SHEET_NAMES = ['a4', 'letter'] as const;
const made = (format: PageFormat, sheet: SheetName, dots: DotFormat = { type: 'sgray_8', dpi: { x: DPI, y: DPI } }) =>
  pageOctets(format, { sheet, facts: FACTS, madeAt: new Date('2026-01-31T09:00:00Z'), dots, colour: true });

/** A mark that is drawn on a grid may lie half a dot off; beyond that and by more than this it is in the wrong place. */
const MOST_OFF_MM = 0.1;
const near = (got: number, wanted: number, what: string) =>
  expect(Math.abs(got - wanted), `${what}: ${got} for ${wanted}`).toBeLessThanOrEqual(MOST_OFF_MM);

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-page-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Measured against what the page claims: band, crosses, both rulers, the line across; and white where a ghost would show. */
function measure(picture: Picture, sheet: SheetName): void {
  const { width, height } = SHEETS[sheet];
  const spans: readonly (readonly [what: string, got: readonly [number, number], wanted: readonly [number, number]])[] =
    [
      ['band, down', darkDown(picture, 100, 26, 44), [30, 42]],
      ['band, across', darkAcross(picture, 36, 25, width - 25), [30, width - 30]],
      ['line', darkDown(picture, 60, height - 25, height - 17), [height - 20, height - 19.5]],
      // It begins and ends in the upright of a cross, which is 0.15 mm thick.
      ['line, across', darkAcross(picture, height - 19.7, 18, width - 18), [20 - 0.075, width - 20 + 0.075]],
    ];
  for (const [what, got, wanted] of spans) {
    near(got[0], wanted[0], `${what}, from`);
    near(got[1], wanted[1], `${what}, to`);
  }
  for (const x of [20, width - 20])
    for (const y of [20, height - 20]) {
      const down = darkDown(picture, x + (x < 100 ? -2.5 : 2.5), y - 2, y + 0.4);
      near((down[0] + down[1]) / 2, y, `cross at ${x}, ${y}, down`);
      const across = darkAcross(picture, y - 2.5, x - 2, x + 2);
      near((across[0] + across[1]) / 2, x, `cross at ${x}, ${y}, across`);
    }
  for (let mm = 10; mm <= height - 10; mm += 1)
    for (const x of [9, width - 9]) {
      const tick = darkDown(picture, x, mm - 0.4, mm + 0.4);
      near((tick[0] + tick[1]) / 2, mm, `tick at ${x}, ${mm}`);
    }
  for (let y = 55; y < height - 100; y += 1)
    for (let x = 30; x < width - 30; x += 5) expect(picture.at(x, y), `${x}, ${y} is white`).toBe(255);
}

describeWithPeers('PDF and PostScript as two programs of other origin draw them', ['pdftoppm', 'gs'], () => {
  test.each(SHEET_NAMES)('PDF, %s', async (sheet) => {
    const file = join(folder, `${sheet}.pdf`);
    writeFileSync(file, await made('pdf', sheet));
    execFileSync('pdftoppm', ['-gray', '-r', String(DPI), '-singlefile', file, join(folder, `${sheet}-pdf`)]);
    measure(pictureFrom(join(folder, `${sheet}-pdf.pgm`), DPI), sheet);
  });
  test.each(SHEET_NAMES)('PostScript, %s', async (sheet) => {
    const [file, out] = [join(folder, `${sheet}.ps`), join(folder, `${sheet}-ps.pgm`)];
    writeFileSync(file, await made('postscript', sheet));
    execFileSync('gs', ['-q', '-dSAFER', '-dBATCH', '-dNOPAUSE', '-sDEVICE=pgmraw', `-r${DPI}`, '-o', out, file]);
    measure(pictureFrom(out, DPI), sheet);
  });
});

const HEADER = '/usr/include/cups/raster.h';
const RASTER_PEERS = ['gcc', ...(existsSync(HEADER) ? [] : [HEADER])];

/** Decoded by the spooler's own raster library, through a reader that is compiled here. */
describeWithPeers('PWG Raster as the spooler reads it', RASTER_PEERS, () => {
  let reader: string;
  beforeAll(() => {
    reader = join(folder, 'read-raster');
    const source = fileURLToPath(new URL('read-raster.c', import.meta.url));
    execFileSync('gcc', ['-Wall', '-Werror', '-O1', '-o', reader, source, '-lcups']);
  }, 60_000);

  async function decoded(sheet: SheetName, dots: DotFormat) {
    const input = await made('pwg-raster', sheet, dots);
    const { stdout, stderr, status } = spawnSync(reader, { input, maxBuffer: 1e9 });
    const says = Object.fromEntries(
      stderr
        .toString()
        .trim()
        .split('\n')
        .map((line) => line.split(/ (.*)/s)),
    );
    return { status, says, picture: pictureOf(stdout, dots.dpi) };
  }

  // Colour spaces by PWG 5102.4 table 7: 3 black, 18 sGray, 19 sRGB. Points: 72 to the inch.
  test.each([
    ['a4', 'sgray_8', 300, 300, { space: '18', bits: '8', pixel: '8', colours: '1' }],
    ['letter', 'sgray_8', 600, 600, { space: '18', bits: '8', pixel: '8', colours: '1' }],
    ['a4', 'black_1', 600, 600, { space: '3', bits: '1', pixel: '1', colours: '1' }],
    ['letter', 'black_1', 300, 600, { space: '3', bits: '1', pixel: '1', colours: '1' }],
    ['a4', 'srgb_8', 360, 360, { space: '19', bits: '8', pixel: '24', colours: '3' }],
    ['a4', 'srgb_8', 300, 600, { space: '19', bits: '8', pixel: '24', colours: '3' }],
  ] as const)(
    '%s, %s, %i × %i',
    async (sheet, type, x, y, header) => {
      const { status, says, picture } = await decoded(sheet, { type, dpi: { x, y } });
      const { width, height, keyword } = SHEETS[sheet];
      expect({ status, says }).toEqual({
        status: 0,
        says: {
          ...header,
          dpi: `${x} ${y}`,
          size: `${Math.round((width / 25.4) * x)} ${Math.round((height / 25.4) * y)}`,
          points: sheet === 'a4' ? '595 842' : '612 792',
          name: keyword,
          kind: 'PwgRaster',
          copies: '1',
          pages: '1',
        },
      });
      measure(picture, sheet);
    },
    60_000,
  );

  test('each colorant steps from pale to full in its own colour', async () => {
    const { picture } = await decoded('a4', { type: 'srgb_8', dpi: { x: 300, y: 300 } });
    // Rows: black, cyan, magenta, yellow. What an ink takes away of red, green and blue (PostScript Language Reference 7.2.4).
    for (const [row, takes] of [
      [0, [0, 1, 2]],
      [1, [0]],
      [2, [1]],
      [3, [2]],
    ] as const) {
      const y = 202 + row * 11 + 4.5;
      for (const colour of [0, 1, 2]) {
        const values = Array.from({ length: 8 }, (_, step) => picture.at(48 + step * 14 + 7, y, colour));
        const taken = (takes as readonly number[]).includes(colour);
        expect(values).toEqual(taken ? [242, 230, 204, 179, 128, 77, 38, 0] : new Array(8).fill(255));
      }
    }
  });

  test('half-tones of one bit hold the share of black that they are called', async () => {
    const { picture } = await decoded('a4', { type: 'black_1', dpi: { x: 600, y: 600 } });
    for (const [step, share] of [0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.85, 1].entries())
      expect(Math.abs(picture.darkShare(49 + step * 14, 203, 12, 7) - share), `${share}`).toBeLessThan(0.02);
  });

  test('letters are drawn where they are written, and are as high as their size says', async () => {
    const { picture } = await decoded('a4', { type: 'black_1', dpi: { x: 600, y: 600 } });
    // "Test page", 14 point at 30, 18: capitals are 0.72 of 14/72 inch high.
    const [top, bottom] = darkDown(picture, 31.2, 12, 19.5);
    near(bottom, 18 + 0.2, 'foot of the T');
    expect(bottom - top).toBeCloseTo((0.72 * 14 * 25.4) / 72, 0);
  });
});

test('PWG Raster is made piece by piece: no piece is larger than one row at its worst', () => {
  let [largest, all] = [0, 0];
  for (const piece of pwgRasterOf('a4', testMarks('a4', FACTS), { type: 'srgb_8', dpi: { x: 1200, y: 1200 } })) {
    largest = Math.max(largest, piece.length);
    all += piece.length;
  }
  const row = Math.round((210 / 25.4) * 1200) * 3;
  expect(largest).toBeLessThan(row * 1.01 + 2);
  // As dots it would be 418 MB: 9,921 × 14,031 × 3.
  expect(all).toBeLessThan(3_000_000);
});

describe('PCL 5, by a small reader of its own (its limits: see there)', () => {
  test.each(SHEET_NAMES)('%s: rules lie where they should, and it is one page', async (sheet) => {
    const octets = await made('pcl5', sheet);
    const page = readPcl(octets);
    expect(page).toMatchObject({ sheet, ended: true });
    measure(page.picture, sheet);
  });

  test.each(SHEET_NAMES)(
    '%s: text begins where it should, in its size, and nothing lies off the logical page',
    async (sheet) => {
      const page = readPcl(await made('pcl5', sheet));
      const wanted = testMarks(sheet, FACTS).filter((mark) => mark.kind === 'text');
      expect(page.texts.map(({ text, points, pen }) => [text, points, pen])).toEqual(
        wanted.map(({ text, points }) => [text, points, 7]),
      );
      for (const [at, { x, y }] of page.texts.entries()) {
        near(x, wanted[at]?.x ?? 0, 'text, across');
        near(y, wanted[at]?.y ?? 0, 'text, down');
      }
      // Logical page, upright: 2338 dots from 71 for A4, 2400 from 75 for Letter, at 300 to the inch (manual, table of page sizes).
      const [left, right] = (sheet === 'a4' ? [71, 71 + 2338] : [75, 75 + 2400]).map((dots) => (dots * 25.4) / 300);
      for (const { x, w } of page.fills) {
        expect(x).toBeGreaterThanOrEqual(left ?? 0);
        expect(x + w).toBeLessThanOrEqual(right ?? 0);
      }
    },
  );

  test('each colorant has its pen, and its shades are those that it is called', async () => {
    const { fills } = readPcl(await made('pcl5', 'a4'));
    // Palette of ESC*r-3U: 1 cyan, 2 magenta, 4 yellow, 7 black (manual, simple colour).
    for (const [row, pen] of [7, 1, 2, 4].entries()) {
      const steps = fills.filter(({ y, w }) => Math.abs(y - (202 + row * 11)) < 0.1 && Math.abs(w - 14) < 0.1);
      expect(steps.map(({ percent }) => percent)).toEqual([5, 10, 20, 30, 50, 70, 85, 100]);
      expect(new Set(steps.map((step) => step.pen))).toEqual(new Set([pen]));
    }
  });

  test('a printer without colour gets no pens, and shades as dark as the colour looks', async () => {
    const octets = await pageOctets('pcl5', {
      sheet: 'a4',
      facts: FACTS,
      madeAt: new Date(0),
      dots: { type: 'sgray_8', dpi: { x: 300, y: 300 } },
      colour: false,
    });
    expect(octets.toString('latin1')).not.toMatch(/\x1b\*[rv]/);
    const yellow = readPcl(octets).fills.filter(({ y, w }) => Math.abs(y - 235) < 0.1 && Math.abs(w - 14) < 0.1);
    expect(yellow.at(-1)?.percent).toBe(11);
  });
});

test.each([
  ['pdf', 'pdf'],
  ['postscript', 'postscript'],
  ['pwg-raster', 'pwg-raster'],
  ['pcl5', 'pcl5'],
  ['text', 'text'],
] as const)('%s is known again for what it is', async (format, language) => {
  const octets = await made(format, 'a4');
  expect(sniff(octets).language).toBe(language);
});
