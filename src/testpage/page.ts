import { type PageFacts, type SheetName, testMarks } from './marks.js';
import { pdfOf } from './pdf.js';
import { plainOf } from './plain.js';
import { postscriptOf } from './postscript.js';

/** Media types (IANA) that a test page can be written as, the one that shows most first. */
export const PAGE_FORMATS = ['application/pdf', 'application/postscript', 'text/plain'] as const;
export type PageFormat = (typeof PAGE_FORMATS)[number];

/** The first of the page's formats that is taken; PDF where nothing is known; undefined where none is taken. */
export function formatFor(taken: readonly string[]): PageFormat | undefined {
  const wanted = taken.map((format) => format.toLowerCase());
  if (wanted.length === 0) return PAGE_FORMATS[0];
  return PAGE_FORMATS.find((format) => wanted.includes(format));
}

/** The octets of the page. */
export async function pageOctets(
  format: PageFormat,
  sheet: SheetName,
  facts: PageFacts,
  madeAt: Date,
): Promise<Uint8Array> {
  if (format === 'text/plain') return Buffer.from(plainOf(facts), 'ascii');
  const marks = testMarks(sheet, facts);
  if (format === 'application/postscript') return Buffer.from(postscriptOf(sheet, marks), 'ascii');
  return pdfOf(sheet, marks, madeAt);
}
