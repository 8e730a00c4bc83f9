import { Buffer } from 'node:buffer';
import type { PageFormat } from './formats.js';
import { type PageFacts, type SheetName, testMarks } from './marks.js';
import { pclOf } from './pcl.js';
import { pdfOf } from './pdf.js';
import { plainOf } from './plain.js';
import { postscriptOf } from './postscript.js';
import { type DotFormat, pwgRasterOf } from './pwg-raster.js';

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
