import type { Evidence, IppAttributes } from '../model/evidence.js';
import { MEDIA_SIZES } from '../registry/media.generated.js';
import { namesOf } from '../wire/job/languages.js';
import { pageRaster } from '../wire/job/page-memory.js';
import { booleanOf, textOf } from './attributes.js';
import type { PrinterFact } from './fact.js';
import type { JobFileFact } from './job-file.js';
import { readIppAnswer, valuesOf } from './printer/ipp-values.js';

/** Room that a page of the job takes as dots, beside the memory of the printer. */
export interface PageNeedFact {
  /** Octets. */
  readonly bytes: number;
  readonly memoryBytes: number;
  /** True: the file states its page. False: the least that a page needs at the printer's own settings. */
  readonly stated: boolean;
  readonly evidence: readonly string[];
}

const CM_PER_INCH = 2.54;

/**
 * Memory for one page. A raster file states its page; for a page language the printer's default paper and resolution
 * stand in (the wrapper's resolution, where it sets one), at one bit for each dot of each ink, which is the least.
 * Undefined without a job file, or where the printer does not state its memory.
 */
export function readPageNeed(
  evidence: readonly Evidence[],
  printer: PrinterFact | undefined,
  job: JobFileFact | undefined,
): PageNeedFact | undefined {
  const memoryBytes = printer?.document.memoryBytes ?? null;
  if (job === undefined || memoryBytes === null || memoryBytes <= 0) return undefined;
  const { page, dpi, language } = job.sniffed;
  if (page !== undefined) {
    return { bytes: page.bytesPerLine * page.lines, memoryBytes, stated: true, evidence: job.evidence };
  }
  const ipp = readIppAnswer(evidence);
  if (ipp === undefined || namesOf(language).kind !== 'page') return undefined;
  const bytes = leastBytes(ipp.attributes, dpi);
  return bytes === undefined ? undefined : { bytes, memoryBytes, stated: false, evidence: [...job.evidence, ipp.id] };
}

/** Octets of one page of the default paper at the default (or wanted) resolution, one bit a dot; undefined when not told. */
export function leastBytes(attributes: IppAttributes, wanted: number | undefined): number | undefined {
  const size = MEDIA_SIZES[textOf(attributes, 'media-default') ?? ''];
  const dpi = wanted === undefined ? defaultDpi(attributes) : { x: wanted, y: wanted };
  if (size === undefined || dpi === undefined) return undefined;
  const planes = booleanOf(attributes, 'color-supported') === true ? 4 : 1;
  const raster = pageRaster({
    widthMm: size.x / 100,
    lengthMm: size.y / 100,
    dpiX: dpi.x,
    dpiY: dpi.y,
    planes,
    bits: 1,
  });
  return raster?.bytes;
}

/** printer-resolution-default (RFC 8011 5.2.10) in dots per inch. */
function defaultDpi(attributes: IppAttributes): { readonly x: number; readonly y: number } | undefined {
  const value = valuesOf(attributes, 'printer-resolution-default')[0]?.value;
  if (typeof value !== 'object' || value === null || !('x' in value)) return undefined;
  const factor = value.units === 'dpcm' ? CM_PER_INCH : 1;
  return { x: value.x * factor, y: value.y * factor };
}
