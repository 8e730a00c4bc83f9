/** Room that one page takes as dots, uncompressed. Arithmetic only; what a printer can do with less is its own affair. */

const MM_PER_INCH = 25.4;

export interface PageShape {
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly dpiX: number;
  readonly dpiY: number;
  /** Colour planes: 1 for black, 4 for four colours. */
  readonly planes: number;
  /** Bits for one dot of one plane: 1, 2, 4, 8 or 16. */
  readonly bits: number;
}

export interface PageRaster {
  /** Dots across and along. */
  readonly width: number;
  readonly height: number;
  /** Octets of one row of one plane: rows are padded to whole octets. */
  readonly bytesPerRow: number;
  /** Octets of the whole page, all planes. */
  readonly bytes: number;
}

/** Dots = inches × dots per inch, rounded. Undefined for a shape without area or with nonsense in it. */
export function pageRaster(shape: PageShape): PageRaster | undefined {
  const values = Object.values(shape);
  if (!values.every((n) => Number.isFinite(n) && n > 0 && n < 1e6)) return undefined;
  const width = Math.round((shape.widthMm / MM_PER_INCH) * shape.dpiX);
  const height = Math.round((shape.lengthMm / MM_PER_INCH) * shape.dpiY);
  const bytesPerRow = Math.ceil((width * shape.bits) / 8);
  const bytes = bytesPerRow * height * shape.planes;
  return bytes > 0 && Number.isSafeInteger(bytes) ? { width, height, bytesPerRow, bytes } : undefined;
}
