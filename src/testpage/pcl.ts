import { darkness } from './colour.js';
import { BLACK, type Ink, type Mark, type SheetName } from './marks.js';

/**
 * The page in PCL 5, with rules and text of the printer's own: small, and no raster that it would have to hold. Commands, and where the logical
 * page begins on a sheet (in 1/300 inch from its left edge): PCL 5 Printer Language Technical Reference Manual, chapters 4, 5,
 * 8 and 16. A printer that is set to "wide A4" puts all of it 2.5 mm further left.
 */
const PAGES: Readonly<Record<SheetName, { readonly code: number; readonly leftDots: number }>> = {
  a4: { code: 26, leftDots: 71 },
  letter: { code: 2, leftDots: 75 },
};

const ESC = '\x1b';
const DECIPOINTS_PER_MM = 720 / 25.4;
const DECIPOINTS_PER_DOT = 720 / 300;
/** Entries of the palette that ESC*r-3U makes: cyan 1, magenta 2, yellow 4, black 7. A printer without colour passes these over. */
const BLACK_PEN = 7;

/** The marks as PCL 5. Shades are those of the printer: eight grades, of which 5 and 10 per cent are one. */
export function pclOf(sheet: SheetName, marks: readonly Mark[], colour: boolean): string {
  const { code, leftDots } = PAGES[sheet];
  const left = leftDots * DECIPOINTS_PER_DOT;
  const at = (x: number, y: number): string => `${ESC}&a${decipoints(x, left)}h${decipoints(y, 0)}V`;
  const drawn = marks.map((mark) => {
    if (mark.kind === 'text') return `${at(mark.x, mark.y)}${pen(BLACK, colour)}${font(mark.points)}${mark.text}`;
    const size = `${decipoints(mark.w, 0)}h${decipoints(mark.h, 0)}v`;
    return `${at(mark.x, mark.y)}${pen(mark.ink, colour)}${ESC}*c${size}${fill(mark.ink, colour)}`;
  });
  return [
    `${ESC}E`,
    // One copy, one side, upright, this sheet, no margin above, no skip over the perforation.
    `${ESC}&l1x0s0o${code}a0e0L`,
    // Letters in ISO 8859-1, upright, medium, proportional, of the sans-serif face that every PCL 5 printer has.
    `${ESC}(0N`,
    colour ? `${ESC}*r-3U` : '',
    ...drawn,
    '\f',
    `${ESC}E`,
  ].join('');
}

function decipoints(mm: number, less: number): string {
  return String(Number((mm * DECIPOINTS_PER_MM - less).toFixed(2)));
}

function font(points: number): string {
  return `${ESC}(s1p${points}v0s0b4148T`;
}

/** Marks of one colorant only have a pen of their own; all others are black. */
function pen([c, m, y, k]: Ink, colour: boolean): string {
  if (!colour) return '';
  const index = k > 0 ? BLACK_PEN : (c > 0 ? 1 : 0) + (m > 0 ? 2 : 0) + (y > 0 ? 4 : 0);
  return `${ESC}*v${index}S`;
}

/** Solid, or a shade by its share in per cent. */
function fill(ink: Ink, colour: boolean): string {
  const share = colour ? Math.max(...ink) : darkness(ink);
  return share >= 1 ? '0P' : `${Math.max(1, Math.round(share * 100))}g2P`;
}
