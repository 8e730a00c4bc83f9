import { type Stroke, strokesOf } from './lettering.js';
import { BLACK, type Ink, type Mark, SHEETS, type SheetName } from './marks.js';

export interface Resolution {
  /** Dots per inch across and along the feed. */
  readonly x: number;
  readonly y: number;
}

/** Dots of one row that one mark covers: from the first to before the last. */
export interface Span {
  readonly from: number;
  readonly to: number;
  readonly ink: Ink;
}

/** The page as rows of dots, none of which is kept. */
export interface DotPage {
  readonly width: number;
  readonly height: number;
  /** Upper row first: what is drawn in each, the later over the earlier. */
  readonly rows: () => Iterable<readonly Span[]>;
}

interface Shape {
  readonly first: number;
  /** One past the last row. */
  readonly end: number;
  readonly at: (row: number) => Span | undefined;
}

const MM_PER_INCH = 25.4;

/** Lays marks on a grid of dots. A mark's edges go to the nearest dot; no mark is thinner than one. */
export function dotPage(sheet: SheetName, marks: readonly Mark[], dpi: Resolution): DotPage {
  const perMm = { x: dpi.x / MM_PER_INCH, y: dpi.y / MM_PER_INCH };
  const width = Math.round(SHEETS[sheet].width * perMm.x);
  const height = Math.round(SHEETS[sheet].height * perMm.y);
  const shapes = marks
    .flatMap((mark) => shapesOf(mark, perMm))
    .map((shape, order) => ({ shape, order }))
    .sort((a, b) => a.shape.first - b.shape.first || a.order - b.order);
  return { width, height, rows: () => rowsOf(shapes, width, height) };
}

function* rowsOf(
  shapes: readonly { readonly shape: Shape; readonly order: number }[],
  width: number,
  height: number,
): Generator<readonly Span[]> {
  let active: { readonly shape: Shape; readonly order: number }[] = [];
  let next = 0;
  for (let row = 0; row < height; row += 1) {
    active = active.filter(({ shape }) => shape.end > row);
    for (let more = shapes[next]; more !== undefined && more.shape.first <= row; more = shapes[next]) {
      active.push(more);
      next += 1;
    }
    active.sort((a, b) => a.order - b.order);
    yield active.flatMap(({ shape }) => clipped(shape.at(row), width));
  }
}

function clipped(span: Span | undefined, width: number): readonly Span[] {
  if (span === undefined) return [];
  const [from, to] = [Math.max(0, span.from), Math.min(width, span.to)];
  return from < to ? [{ ...span, from, to }] : [];
}

function shapesOf(mark: Mark, perMm: Resolution): readonly Shape[] {
  if (mark.kind === 'text')
    return strokesOf(mark.text, mark.x, mark.y, mark.points).map((stroke) => strokeShape(stroke, perMm));
  const [from, to] = edges(mark.x * perMm.x, mark.w * perMm.x);
  const [first, end] = edges(mark.y * perMm.y, mark.h * perMm.y);
  const span = { from, to, ink: mark.ink };
  return [{ first, end, at: () => span }];
}

function edges(start: number, length: number): readonly [number, number] {
  const first = Math.round(start);
  return [first, Math.max(first + 1, Math.round(start + length))];
}

/** A stroke covers the dots whose centres lie within half a pen of it; worked out in mm, since dots need not be square. */
function strokeShape(stroke: Stroke, perMm: Resolution): Shape {
  const reach = stroke.pen / 2;
  const top = (Math.min(stroke.y1, stroke.y2) - reach) * perMm.y;
  const bottom = (Math.max(stroke.y1, stroke.y2) + reach) * perMm.y;
  return {
    first: Math.max(0, Math.floor(top)),
    end: Math.ceil(bottom) + 1,
    at: (row) => {
      const reached = reachedAt(stroke, (row + 0.5) / perMm.y);
      if (reached === undefined) return undefined;
      const from = Math.ceil(reached[0] * perMm.x - 0.5);
      return { from, to: Math.max(from + 1, Math.floor(reached[1] * perMm.x - 0.5) + 1), ink: BLACK };
    },
  };
}

/** Where a level line at `y` enters and leaves a stroke, which is convex: two round ends and the strip between them. */
function reachedAt({ x1, y1, x2, y2, pen }: Stroke, y: number): readonly [number, number] | undefined {
  const reach = pen / 2;
  const met: number[] = [];
  for (const [x, cy] of [
    [x1, y1],
    [x2, y2],
  ] as const) {
    const half = Math.sqrt(reach * reach - (y - cy) ** 2);
    if (half >= 0) met.push(x - half, x + half);
  }
  const length = Math.hypot(x2 - x1, y2 - y1);
  if (length > 0) {
    const [nx, ny] = [(-(y2 - y1) / length) * reach, ((x2 - x1) / length) * reach];
    for (const side of [1, -1]) {
      const [fromY, toY] = [y1 + side * ny, y2 + side * ny];
      if (fromY === toY || (y - fromY) * (y - toY) > 0) continue;
      met.push(x1 + side * nx + ((y - fromY) / (toY - fromY)) * (x2 - x1));
    }
  }
  return met.length === 0 ? undefined : [Math.min(...met), Math.max(...met)];
}
