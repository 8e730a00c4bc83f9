import { cmyk, PDFDocument, StandardFonts } from 'pdf-lib';
import { type Mark, SHEETS, type SheetName } from './marks.js';

/** PDF's unit (ISO 32000-1 8.3.2.3). */
const POINTS_PER_MM = 72 / 25.4;

/** The marks as a PDF of one page. The same marks and time give the same octets. */
export async function pdfOf(sheet: SheetName, marks: readonly Mark[], madeAt: Date): Promise<Uint8Array> {
  const { width, height } = SHEETS[sheet];
  const file = await PDFDocument.create({ updateMetadata: false });
  file.setTitle('Test page');
  file.setCreationDate(madeAt);
  const font = await file.embedFont(StandardFonts.Helvetica);
  const page = file.addPage([width * POINTS_PER_MM, height * POINTS_PER_MM]);
  for (const mark of marks) {
    const x = mark.x * POINTS_PER_MM;
    if (mark.kind === 'text') {
      page.drawText(mark.text, { x, y: (height - mark.y) * POINTS_PER_MM, size: mark.points, font });
      continue;
    }
    const y = (height - mark.y - mark.h) * POINTS_PER_MM;
    page.drawRectangle({
      x,
      y,
      width: mark.w * POINTS_PER_MM,
      height: mark.h * POINTS_PER_MM,
      color: cmyk(...mark.ink),
      borderWidth: 0,
    });
  }
  return file.save({ useObjectStreams: false });
}
