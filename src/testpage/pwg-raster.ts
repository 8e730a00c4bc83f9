import { Buffer } from 'node:buffer';
import { darkness, isBlack, redGreenBlue } from './colour.js';
import { type DotPage, dotPage, type Resolution, type Span } from './dots.js';
import { type Mark, SHEETS, type SheetName } from './marks.js';

/** Kinds of dots (PWG 5102.4 table 8, pwg-raster-document-type-supported) that the page is made of, the one that shows most first. */
export const DOT_TYPES = ['srgb_8', 'sgray_8', 'black_1'] as const;
export type DotType = (typeof DOT_TYPES)[number];

export interface DotFormat {
  readonly type: DotType;
  readonly dpi: Resolution;
}

interface Kind {
  readonly bitsPerColour: number;
  readonly colours: number;
  /** ColorSpace (PWG 5102.4 table 7). */
  readonly space: number;
  readonly white: number;
  readonly paint: (row: Uint8Array, span: Span, y: number) => void;
}

/** Black 3: a set bit is black. Sgray 18 and Srgb 19: 255 is white. */
const KINDS: Readonly<Record<DotType, Kind>> = {
  black_1: { bitsPerColour: 1, colours: 1, space: 3, white: 0, paint: paintBits },
  sgray_8: { bitsPerColour: 8, colours: 1, space: 18, white: 255, paint: paintGrey },
  srgb_8: { bitsPerColour: 8, colours: 3, space: 19, white: 255, paint: paintColour },
};

/**
 * The marks as PWG Raster (PWG 5102.4), piece by piece: a header, then each row as it is drawn, compressed. At no time is more than two rows
 * of dots held.
 */
export function* pwgRasterOf(
  sheet: SheetName,
  marks: readonly Mark[],
  { type, dpi }: DotFormat,
): Generator<Uint8Array> {
  const page = dotPage(sheet, marks, dpi);
  const kind = KINDS[type];
  yield Buffer.from('RaS2', 'ascii');
  yield header(sheet, page, dpi, kind);
  const unit = Math.max(1, (kind.bitsPerColour * kind.colours) / 8);
  let held: Uint8Array | undefined;
  let repeats = 0;
  for (const row of dotRows(page, kind)) {
    if (held !== undefined && repeats < 255 && Buffer.compare(held, row) === 0) {
      repeats += 1;
      continue;
    }
    if (held !== undefined) yield encodedRow(held, repeats, unit);
    held = row.slice();
    repeats = 0;
  }
  if (held !== undefined) yield encodedRow(held, repeats, unit);
}

/** One buffer, drawn anew for each row. */
function* dotRows({ width, rows }: DotPage, kind: Kind): Generator<Uint8Array> {
  const row = new Uint8Array(bytesPerLine(width, kind));
  let y = 0;
  for (const spans of rows()) {
    row.fill(kind.white);
    for (const span of spans) kind.paint(row, span, y);
    yield row;
    y += 1;
  }
}

function bytesPerLine(width: number, { bitsPerColour, colours }: Kind): number {
  return Math.ceil((width * bitsPerColour * colours) / 8);
}

function paintBits(row: Uint8Array, { from, to, ink }: Span, y: number): void {
  const share = darkness(ink);
  for (let x = from; x < to; x += 1) {
    const bit = 128 >> (x & 7);
    const at = x >> 3;
    row[at] = isBlack(share, x, y) ? (row[at] ?? 0) | bit : (row[at] ?? 0) & ~bit;
  }
}

function paintGrey(row: Uint8Array, { from, to, ink }: Span): void {
  row.fill(Math.round(255 * (1 - darkness(ink))), from, to);
}

function paintColour(row: Uint8Array, { from, to, ink }: Span): void {
  const [r, g, b] = redGreenBlue(ink).map((share) => Math.round(255 * share));
  for (let at = 3 * from; at < 3 * to; at += 3) {
    row[at] = r ?? 0;
    row[at + 1] = g ?? 0;
    row[at + 2] = b ?? 0;
  }
}

/** Page header, 1796 octets, numbers big-endian (PWG 5102.4 section 4.3). What is not set is zero: the printer's own choice. */
function header(sheet: SheetName, page: DotPage, dpi: Resolution, kind: Kind): Uint8Array {
  const octets = Buffer.alloc(1796);
  const bitsPerPixel = kind.bitsPerColour * kind.colours;
  octets.write('PwgRaster', 0, 'ascii');
  const numbers: readonly (readonly [offset: number, value: number])[] = [
    [276, dpi.x],
    [280, dpi.y],
    [340, 1], // NumCopies
    [352, Math.round((SHEETS[sheet].width * 72) / 25.4)], // PageSize, points
    [356, Math.round((SHEETS[sheet].height * 72) / 25.4)],
    [372, page.width],
    [376, page.height],
    [384, kind.bitsPerColour],
    [388, bitsPerPixel],
    [392, bytesPerLine(page.width, kind)],
    [400, kind.space],
    [420, kind.colours],
    [452, 1], // TotalPageCount
    [456, 1], // CrossFeedTransform
    [460, 1], // FeedTransform
  ];
  for (const [offset, value] of numbers) octets.writeUInt32BE(value, offset);
  octets.write(SHEETS[sheet].keyword, 1732, 'ascii');
  return octets;
}

/** A row and how often it comes again: runs of one unit, or units as they are (PWG 5102.4 section 4.4). */
function encodedRow(row: Uint8Array, repeats: number, unit: number): Uint8Array {
  const out: Uint8Array[] = [Uint8Array.of(repeats)];
  const units = row.length / unit;
  const same = (a: number, b: number): boolean => {
    for (let i = 0; i < unit; i += 1) if (row[a * unit + i] !== row[b * unit + i]) return false;
    return true;
  };
  for (let at = 0; at < units; ) {
    let end = at + 1;
    while (end < units && end - at < 128 && same(at, end)) end += 1;
    if (end - at > 1 || end === units) {
      out.push(Uint8Array.of(end - at - 1), row.subarray(at * unit, (at + 1) * unit));
    } else {
      while (end < units && end - at < 128 && !(end + 1 < units && same(end, end + 1))) end += 1;
      out.push(Uint8Array.of(end - at === 1 ? 0 : 257 - (end - at)), row.subarray(at * unit, end * unit));
    }
    at = end;
  }
  return Buffer.concat(out);
}
