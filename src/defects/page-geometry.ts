import type { PageGeometry } from '../model/defect.js';

/** A point of the page: right and down from the upper left corner of the sheet, in mm. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Where a mark should lie, and where the ruler finds it. */
export interface PointReading {
  readonly printed: Point;
  readonly measured: Point;
}

/** `measured = offset + matrix × printed`, by least squares. */
export interface AffineFit {
  readonly offset: Point;
  /** Row by row: xx, xy, yx, yy. */
  readonly matrix: readonly [number, number, number, number];
  /** Root of the mean square distance that the fit leaves, mm; 0 for three points. */
  readonly residual: number;
}

/**
 * The affine map that takes printed to measured points. Undefined for fewer than three, or when all lie on one line:
 * then no length across that line is known.
 */
export function affineFit(readings: readonly PointReading[]): AffineFit | undefined {
  const centre = mean(readings.map(({ printed }) => printed));
  const measuredCentre = mean(readings.map(({ measured }) => measured));
  let [xx, xy, yy, ux, uy, vx, vy] = [0, 0, 0, 0, 0, 0, 0];
  for (const { printed, measured } of readings) {
    const [x, y] = [printed.x - centre.x, printed.y - centre.y];
    const [u, v] = [measured.x - measuredCentre.x, measured.y - measuredCentre.y];
    xx += x * x;
    xy += x * y;
    yy += y * y;
    ux += u * x;
    uy += u * y;
    vx += v * x;
    vy += v * y;
  }
  const det = xx * yy - xy * xy;
  if (readings.length < 3 || det <= 1e-6 * xx * yy || det === 0) return undefined;
  const matrix = [
    (ux * yy - uy * xy) / det,
    (uy * xx - ux * xy) / det,
    (vx * yy - vy * xy) / det,
    (vy * xx - vx * xy) / det,
  ] as const;
  const offset = {
    x: measuredCentre.x - matrix[0] * centre.x - matrix[1] * centre.y,
    y: measuredCentre.y - matrix[2] * centre.x - matrix[3] * centre.y,
  };
  const squares = readings.map(({ printed, measured }) => {
    const x = offset.x + matrix[0] * printed.x + matrix[1] * printed.y;
    const y = offset.y + matrix[2] * printed.x + matrix[3] * printed.y;
    return (measured.x - x) ** 2 + (measured.y - y) ** 2;
  });
  return { offset, matrix, residual: Math.sqrt(squares.reduce((a, b) => a + b, 0) / readings.length) };
}

function mean(points: readonly Point[]): Point {
  const n = Math.max(1, points.length);
  return { x: points.reduce((sum, p) => sum + p.x, 0) / n, y: points.reduce((sum, p) => sum + p.y, 0) / n };
}

const DEGREES = 180 / Math.PI;

/**
 * Both diagonals of a printed rectangle, the one from upper left to lower right first. A shear makes one longer and the other shorter, so the scale comes from the
 * mean of their squares, `d² = w² + h² ± 2wh·sin(shear)` exactly; the shear from their difference.
 */
export function fromDiagonals(
  first: number,
  second: number,
  width: number,
  height: number,
): { readonly scale: number; readonly shearDegrees: number } {
  const meanSquare = (first ** 2 + second ** 2) / 2;
  const scale = Math.sqrt(meanSquare / (width ** 2 + height ** 2));
  const sine = (first ** 2 - second ** 2) / (4 * width * height * scale ** 2);
  return { scale, shearDegrees: Math.asin(Math.max(-1, Math.min(1, sine))) * DEGREES };
}

/** Angle of a printed line to the paper's edge: its distances from the edge at both ends, and how far apart these were taken. */
export function skewOfLine(first: number, second: number, length: number): number {
  return Math.atan((second - first) / length) * DEGREES;
}

/** What a person read off the sheet. */
export interface RulerReadings {
  readonly points: readonly PointReading[];
  readonly diagonals?: {
    readonly first: number;
    readonly second: number;
    readonly width: number;
    readonly height: number;
  };
  /** A full-width line: distances from the paper's edge at its left and right end, and its length. */
  readonly line?: { readonly first: number; readonly second: number; readonly length: number };
}

/** Beyond these a person sees it. Common practice, no published source. */
const NOTABLE = { skewDegrees: 0.3, shearDegrees: 0.2, scale: 0.005, offsetMm: 1.5 } as const;

/** All ruler readings in one; null without any that tells something. */
export function readGeometry({ points, diagonals, line }: RulerReadings): PageGeometry | null {
  const fit = affineFit(points);
  const across = diagonals && fromDiagonals(diagonals.first, diagonals.second, diagonals.width, diagonals.height);
  const skewOfEdge = line && skewOfLine(line.first, line.second, line.length);
  if (fit === undefined && across === undefined && skewOfEdge === undefined) return null;
  const geometry = {
    scaleX: rounded(fit ? Math.hypot(fit.matrix[0], fit.matrix[2]) : across?.scale, 5),
    scaleY: rounded(fit ? Math.hypot(fit.matrix[1], fit.matrix[3]) : across?.scale, 5),
    skewDegrees: rounded(fit ? Math.atan2(fit.matrix[2], fit.matrix[0]) * DEGREES : skewOfEdge, 3),
    shearDegrees: rounded(fit ? shearOf(fit) : across?.shearDegrees, 3),
    offsetMm: fit ? { x: rounded(fit.offset.x, 2) ?? 0, y: rounded(fit.offset.y, 2) ?? 0 } : null,
    residualMm: rounded(fit?.residual, 3),
  };
  return { ...geometry, says: sentences(geometry) };
}

/** How far the axes are from a right angle: positive when the diagonal from upper left to lower right is the longer one. */
function shearOf({ matrix: [xx, xy, yx, yy] }: AffineFit): number {
  const cosine = (xx * xy + yx * yy) / (Math.hypot(xx, yx) * Math.hypot(xy, yy));
  return Math.asin(Math.max(-1, Math.min(1, cosine))) * DEGREES;
}

function rounded(value: number | undefined, digits: number): number | null {
  if (value === undefined) return null;
  return Number(value.toFixed(digits)) + 0;
}

function moved(mm: number, ahead: string, back: string): string {
  return `${Math.abs(mm).toFixed(1)} mm ${mm < 0 ? back : ahead}`;
}

function sentences(g: Omit<PageGeometry, 'says'>): readonly string[] {
  const says: string[] = [];
  const skew = g.skewDegrees;
  if (skew !== null && Math.abs(skew) >= NOTABLE.skewDegrees) {
    says.push(`The print is turned by ${Math.abs(skew).toFixed(2)}°: sheet or rollers, see "skew".`);
  }
  if (g.shearDegrees !== null && Math.abs(g.shearDegrees) >= NOTABLE.shearDegrees) {
    says.push(
      `Its corners are ${Math.abs(g.shearDegrees).toFixed(2)}° off the right angle: not the sheet, but the light, the head's way or the drums stand askew.`,
    );
  }
  for (const [name, scale] of [['across', g.scaleX] as const, ['along', g.scaleY] as const]) {
    if (scale !== null && Math.abs(scale - 1) >= NOTABLE.scale) {
      says.push(
        `Lengths ${name} the feed are ${(scale * 100).toFixed(1)} % of what they should be: "fit to page" or the advance.`,
      );
    }
  }
  const offset = g.offsetMm;
  if (offset !== null && Math.hypot(offset.x, offset.y) >= NOTABLE.offsetMm) {
    says.push(
      `The print lies ${moved(offset.x, 'right', 'left')} and ${moved(offset.y, 'down', 'up')} of its place: margins or registration.`,
    );
  }
  return says.length > 0 ? says : ['The print lies on the sheet as it should.'];
}
