import { Buffer } from 'node:buffer';
import { type PageFacts, type SheetName, testMarks } from './marks.js';
import { pclOf } from './pcl.js';
import { pdfOf } from './pdf.js';
import { plainOf } from './plain.js';
import { postscriptOf } from './postscript.js';
import { type DotFormat, pwgRasterOf } from './pwg-raster.js';

/**
 * What a test page can be written as, in the order in which it is chosen: first what the printer draws itself and in full, PDF before
 * PostScript as more printers take it; then dots made here, which need no language; PCL 5 has no finer shades than eight;
 * text shows least.
 */
export const PAGE_FORMATS = ['pdf', 'postscript', 'pwg-raster', 'pcl5', 'text'] as const;
export type PageFormat = (typeof PAGE_FORMATS)[number];

/** Registered media types. */
export const MEDIA_TYPES: Readonly<Record<PageFormat, string>> = {
  pdf: 'application/pdf',
  postscript: 'application/postscript',
  'pwg-raster': 'image/pwg-raster',
  pcl5: 'application/vnd.hp-PCL',
  text: 'text/plain',
};

export interface PageAsked {
  readonly sheet: SheetName;
  readonly facts: PageFacts;
  readonly madeAt: Date;
  /** For PWG Raster. */
  readonly dots: DotFormat;
  /** The printer has colours: for PCL 5, which names them. */
  readonly colour: boolean;
}

/** The octets of the page. */
export async function pageOctets(format: PageFormat, asked: PageAsked): Promise<Buffer> {
  const { sheet, facts, madeAt, dots, colour } = asked;
  const marks = testMarks(sheet, facts);
  if (format === 'pdf') return Buffer.from(await pdfOf(sheet, marks, madeAt));
  if (format === 'postscript') return Buffer.from(postscriptOf(sheet, marks), 'ascii');
  if (format === 'pwg-raster') return Buffer.concat([...pwgRasterOf(sheet, marks, dots)]);
  if (format === 'pcl5') return Buffer.from(pclOf(sheet, marks, colour), 'latin1');
  return Buffer.from(plainOf(facts), 'ascii');
}
