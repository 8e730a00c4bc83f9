import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MEDIA_SIZES } from '../../../src/registry/media.generated.js';
import { pageRaster } from '../../../src/wire/job/page-memory.js';

interface Row {
  readonly media: string;
  readonly dpi: number;
  readonly width: number;
  readonly height: number;
  readonly bytesPerRow1: number;
  readonly bytes1bit: number;
  readonly bytes8bit: number;
  readonly bytes4x8bit: number;
}
const { rows } = JSON.parse(readFileSync(new URL('page-raster.json', import.meta.url), 'utf8')) as { rows: Row[] };

describe('room for a page', () => {
  test.each(rows.map((row) => [row.media, row.dpi, row] as const))('%s at %i dpi', (media, dpi, row) => {
    const size = MEDIA_SIZES[media];
    const shape = { widthMm: (size?.x ?? 0) / 100, lengthMm: (size?.y ?? 0) / 100, dpiX: dpi, dpiY: dpi };
    expect(pageRaster({ ...shape, planes: 1, bits: 1 })).toEqual({
      width: row.width,
      height: row.height,
      bytesPerRow: row.bytesPerRow1,
      bytes: row.bytes1bit,
    });
    expect(pageRaster({ ...shape, planes: 1, bits: 8 })?.bytes).toBe(row.bytes8bit);
    expect(pageRaster({ ...shape, planes: 4, bits: 8 })?.bytes).toBe(row.bytes4x8bit);
  });

  test('nonsense gives none, any numbers give a whole number of octets', () => {
    const a4 = { widthMm: 210, lengthMm: 297, dpiX: 600, dpiY: 600, planes: 1, bits: 1 };
    for (const wrong of [
      { widthMm: 0 },
      { dpiX: Number.NaN },
      { planes: -1 },
      { lengthMm: Number.POSITIVE_INFINITY },
    ]) {
      expect(pageRaster({ ...a4, ...wrong })).toBeUndefined();
    }
    fc.assert(
      fc.property(
        fc.record({
          widthMm: fc.double(),
          lengthMm: fc.double(),
          dpiX: fc.double(),
          dpiY: fc.double(),
          planes: fc.nat(),
          bits: fc.nat(),
        }),
        (shape) => {
          const found = pageRaster(shape);
          expect(found === undefined || Number.isSafeInteger(found.bytes)).toBe(true);
        },
      ),
    );
  });
});
