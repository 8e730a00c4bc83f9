/** Media of a tray by its dimensions. */
import { MEDIA_SIZES } from '../../registry/media.generated.js';
import type { Row } from './snmp-tables.js';
import { integer } from './snmp-tables.js';

/** Hundredths of a millimetre that a size may be off: 1 mm, as printers round to whole millimetres or 1/100 inch. */
const TOLERANCE = 100;

/** Hundredths of a millimetre in one unit of PrtMediaUnitTC (RFC 3805): 3 = 1/10000 inch, 4 = micrometre. */
const UNIT: ReadonlyMap<number, number> = new Map([
  [3, 0.254],
  [4, 0.1],
]);

/** Self-describing name (PWG 5101.1) of a size in 1/100 mm, either way round; the nearest one; null when none fits. */
export function mediaNameOfSize(x: number, y: number): string | null {
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const [name, size] of Object.entries(MEDIA_SIZES)) {
    const upright = Math.max(Math.abs(size.x - x), Math.abs(size.y - y));
    const turned = Math.max(Math.abs(size.x - y), Math.abs(size.y - x));
    const off = Math.min(upright, turned);
    if (off <= TOLERANCE && off < least) {
      least = off;
      best = name;
    }
  }
  return best;
}

/** Name of a feed by cross-feed size in a PrtMediaUnitTC unit; null for special values (-1 other, -2 unknown). */
export function mediaNameOfDims(feed: number | null, cross: number | null, unit: number | null): string | null {
  const factor = UNIT.get(unit ?? 0);
  if (factor === undefined || feed === null || cross === null || feed <= 0 || cross <= 0) return null;
  return mediaNameOfSize(cross * factor, feed * factor);
}

/** The size that a tray is set to: chosen (what is loaded now) before declared (what was set). */
export function mediaNameOfInput(row: Row): string | null {
  const unit = integer(row, 'prtInputDimUnit');
  const pair = (way: 'Chosen' | 'Declared'): string | null =>
    mediaNameOfDims(
      integer(row, `prtInputMediaDimFeedDir${way}`),
      integer(row, `prtInputMediaDimXFeedDir${way}`),
      unit,
    );
  return pair('Chosen') ?? pair('Declared');
}
