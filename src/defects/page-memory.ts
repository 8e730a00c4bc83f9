import { sizeWords } from '../ladder/language/named.js';
import type { PageMemory } from '../model/defect.js';
import { type PageShape, pageRaster } from '../wire/job/page-memory.js';

/** Pages that a printer may have to hold at once when it prints both sides. Common practice, no published source. */
const BOTH_SIDES = 2;

/**
 * What one page takes as dots, beside the memory of the printer: whether it fits, how much of it would, and what to change. Undefined
 * for a page without area. Arithmetic: rows padded to whole octets, times rows, times planes.
 */
export function pageMemory(shape: PageShape, memoryBytes: number | null): PageMemory | undefined {
  const raster = pageRaster(shape);
  if (raster === undefined) return undefined;
  const share = memoryBytes === null || memoryBytes <= 0 ? null : memoryBytes / raster.bytes;
  return {
    ...shape,
    width: raster.width,
    height: raster.height,
    bytes: raster.bytes,
    memoryBytes,
    fits: share === null ? null : share >= BOTH_SIDES ? 'well' : share >= 1 ? 'one-side' : 'not-whole',
    says: saysOf(shape, raster.bytes, memoryBytes, share),
    change: share === null || share >= BOTH_SIDES ? [] : changesOf(shape, raster.bytes, memoryBytes ?? 0),
  };
}

const mm = (value: number): string => String(Math.round(value * 10) / 10);

function saysOf(shape: PageShape, bytes: number, memory: number | null, share: number | null): readonly string[] {
  const { widthMm, lengthMm, dpiX, dpiY, planes, bits } = shape;
  const inks = planes === 1 ? '1 plane' : `${planes} planes`;
  const needs = `One side of ${mm(widthMm)} × ${mm(lengthMm)} mm at ${dpiX} × ${dpiY} dots to the inch, ${inks} of ${bits} bit, takes ${sizeWords(bytes)} as dots.`;
  if (memory === null || share === null)
    return [needs, 'How much memory the printer has is not known: --memory tells it.'];
  const has = `The printer has ${sizeWords(memory)} of memory, part of which its own program needs.`;
  return [needs, has, verdictOf(share)];
}

function verdictOf(share: number): string {
  if (share >= BOTH_SIDES) return 'Both sides fit as they are: memory alone does not cut this page.';
  if (share >= 1)
    return 'One side fits, both at once do not: the page may be cut when it is printed on both sides, or when fonts and pictures lie in memory too.';
  const part = Math.round(share * 100);
  return `At most ${part} % of the page fits uncompressed. Printers draw in bands and compress; where a page is too full for that, what is drawn later is left out, or comes on a second sheet: that is how half a page comes out.`;
}

interface Change {
  readonly words: string;
  readonly shape: PageShape;
}

/** What makes the page smaller, each with what it then takes; then what does not change the dots. */
function changesOf(shape: PageShape, bytes: number, memory: number): readonly string[] {
  const { dpiX, dpiY, planes, bits } = shape;
  const options: readonly (Change | undefined)[] = [
    dpiX > 300 || dpiY > 300
      ? {
          words: 'Print at 300 dots to the inch',
          shape: { ...shape, dpiX: Math.min(dpiX, 300), dpiY: Math.min(dpiY, 300) },
        }
      : undefined,
    planes > 1 ? { words: 'Print in black only', shape: { ...shape, planes: 1 } } : undefined,
    bits > 1
      ? { words: 'Print with one bit a dot (a coarser quality, without fine shades)', shape: { ...shape, bits: 1 } }
      : undefined,
  ];
  const smaller = options.flatMap((change) => {
    const then = change === undefined ? undefined : pageRaster(change.shape)?.bytes;
    if (change === undefined || then === undefined || then >= bytes) return [];
    const fits =
      memory >= BOTH_SIDES * then ? 'fits on both sides' : memory >= then ? 'one side fits' : 'still too much';
    return [`${change.words}: ${sizeWords(then)}, ${fits}.`];
  });
  return [
    ...smaller,
    'Print one side at a time, and make the page simpler: fewer fonts, pictures in a lower resolution, no transparency.',
    'Use a driver of another language: one that sends the page as finished, compressed dots needs no room for fonts; one that sends a page language needs none for dots that are never drawn.',
    'Where the printer takes a memory module: add one. That is done with the power off, by somebody who may open it.',
  ];
}
