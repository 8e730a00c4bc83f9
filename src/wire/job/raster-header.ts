/** Size of the first page of a PWG raster file (PWG 5102.4 section 4: a sync word, then a page header of 1796 octets). */
import { ByteCursor } from '../cursor.js';

/** Octets before the first page header. */
const SYNC_WORD = 4;
/** Offsets in the page header, numbers big-endian. */
const HW_RESOLUTION = 276;
const HEIGHT = 376;
const BYTES_PER_LINE = 392;

export interface RasterPage {
  readonly bytesPerLine: number;
  readonly lines: number;
  readonly dpi: number;
}

/** Reads the first page header; undefined when it is cut off or says nonsense. */
export function readRasterPage(octets: Uint8Array): RasterPage | undefined {
  const at = (offset: number): number | undefined => new ByteCursor(octets.subarray(SYNC_WORD + offset)).u32();
  const bytesPerLine = at(BYTES_PER_LINE);
  const lines = at(HEIGHT);
  const dpi = at(HW_RESOLUTION);
  if (!bytesPerLine || !lines || !dpi) return undefined;
  const sane = bytesPerLine < 10_000_000 && lines < 10_000_000 && dpi < 100_000;
  return sane ? { bytesPerLine, lines, dpi } : undefined;
}
