import { describe, expect, test } from 'vitest';
import { affineFit, fromDiagonals, type Point, readGeometry, skewOfLine } from '../../src/defects/page-geometry.js';

const CORNERS: readonly Point[] = [
  { x: 10, y: 10 },
  { x: 200, y: 10 },
  { x: 10, y: 287 },
  { x: 200, y: 287 },
];
const moved = (map: (point: Point) => Point) => CORNERS.map((printed) => ({ printed, measured: map(printed) }));

describe('affine fit', () => {
  test('a print that lies as it should', () => {
    const fit = affineFit(moved((p) => p));
    expect(fit?.matrix).toEqual([1, 0, 0, 1]);
    expect(fit?.residual).toBeCloseTo(0, 9);
    expect(readGeometry({ points: moved((p) => p) })?.says).toEqual(['The print lies on the sheet as it should.']);
  });

  test('by hand: moved by 2 right and 1 up, 97 % in size', () => {
    const g = readGeometry({ points: moved(({ x, y }) => ({ x: 2 + 0.97 * x, y: -1 + 0.97 * y })) });
    expect(g).toMatchObject({
      scaleX: 0.97,
      scaleY: 0.97,
      skewDegrees: 0,
      shearDegrees: 0,
      offsetMm: { x: 2, y: -1 },
      residualMm: 0,
    });
    expect(g?.says.join()).toContain('97.0 %');
  });

  test('by hand: turned by one degree, right end lower', () => {
    const [cos, sin] = [Math.cos(Math.PI / 180), Math.sin(Math.PI / 180)];
    const g = readGeometry({ points: moved(({ x, y }) => ({ x: cos * x - sin * y, y: sin * x + cos * y })) });
    expect(g?.skewDegrees).toBeCloseTo(1, 3);
    expect(g?.shearDegrees).toBeCloseTo(0, 3);
    expect(g?.scaleX).toBeCloseTo(1, 5);
    expect(g?.says.join()).toContain('turned by 1.00°');
  });

  test('by hand: a shear that leaves lines across where they are is no skew', () => {
    const slope = Math.tan(Math.PI / 180);
    const g = readGeometry({ points: moved(({ x, y }) => ({ x: x + slope * y, y })) });
    expect(g?.skewDegrees).toBe(0);
    expect(g?.shearDegrees).toBeCloseTo(1, 3);
  });

  test('a misread corner shows in the residual', () => {
    const points = moved((p) => p).map((one, at) => (at === 3 ? { ...one, measured: { x: 202, y: 287 } } : one));
    // One of four corners of a rectangle off by 2: the fit leaves 0.5 at each, so the root mean square is 0.5.
    expect(affineFit(points)?.residual).toBeCloseTo(0.5, 6);
  });

  test('two points, or three on a line, say nothing', () => {
    expect(affineFit(moved((p) => p).slice(0, 2))).toBeUndefined();
    const line = [0, 50, 100].map((x) => ({ printed: { x, y: x }, measured: { x, y: x } }));
    expect(affineFit(line)).toBeUndefined();
    expect(readGeometry({ points: line })).toBeNull();
  });
});

describe('both diagonals', () => {
  test('a 3-4-5 rectangle: the scale is the mean diagonal over the printed one', () => {
    expect(fromDiagonals(250, 250, 150, 200)).toEqual({ scale: 1, shearDegrees: 0 });
    expect(fromDiagonals(245, 245, 150, 200).scale).toBeCloseTo(0.98, 9);
  });

  test('by hand: a shear of one degree lengthens one and shortens the other, and the scale stays', () => {
    const sine = Math.sin(Math.PI / 180);
    const diagonal = (sign: number) => Math.sqrt(150 ** 2 + 200 ** 2 + sign * 2 * 150 * 200 * sine);
    const { scale, shearDegrees } = fromDiagonals(diagonal(1), diagonal(-1), 150, 200);
    expect(scale).toBeCloseTo(1, 9);
    expect(shearDegrees).toBeCloseTo(1, 9);
    // The plain mean of the two agrees to a tenth of a millimetre in 250.
    expect((diagonal(1) + diagonal(-1)) / 2).toBeCloseTo(250, 0);
  });

  test('diagonals alone give scale and shear, a line alone the skew', () => {
    expect(readGeometry({ points: [], diagonals: { first: 245, second: 245, width: 150, height: 200 } })).toMatchObject(
      { scaleX: 0.98, skewDegrees: null, offsetMm: null },
    );
    expect(readGeometry({ points: [], line: { first: 10, second: 13.3, length: 190 } })?.skewDegrees).toBeCloseTo(
      0.995,
      3,
    );
  });
});

test('a print that lies too far left and up is said to lie there', () => {
  const points = [
    [10, 10],
    [200, 10],
    [10, 280],
  ].map(([x = 0, y = 0]) => ({ printed: { x, y }, measured: { x: x - 3, y: y - 1.9 } }));
  expect(readGeometry({ points })?.says).toEqual([
    'The print lies 3.0 mm left and 1.9 mm up of its place: margins or registration.',
  ]);
});

test('by hand: 3.3 mm over 190 mm is an angle of atan(3.3/190)', () => {
  expect(skewOfLine(10, 13.3, 190)).toBeCloseTo((Math.atan(3.3 / 190) * 180) / Math.PI, 9);
});
