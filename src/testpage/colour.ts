import type { Ink } from './marks.js';

/** How dark an ink is, 0 to 1, with its colours weighed as the eye does (PostScript Language Reference, third edition, 7.2.2). */
export function darkness([c, m, y, k]: Ink): number {
  return Math.min(1, 0.3 * c + 0.59 * m + 0.11 * y + k);
}

/** Red, green and blue, 0 to 1 (PostScript Language Reference, third edition, 7.2.4). */
export function redGreenBlue([c, m, y, k]: Ink): readonly [number, number, number] {
  return [1 - Math.min(1, c + k), 1 - Math.min(1, m + k), 1 - Math.min(1, y + k)];
}

/**
 * The order in which the 64 dots of a cell turn black: from the middle outward, so that they hold together and a laser can
 * print them. Common practice, no published source.
 */
const ORDER: readonly number[] = rankedCell(8);

function rankedCell(size: number): readonly number[] {
  const middle = (size - 1) / 2 + 0.01;
  const dots = Array.from({ length: size * size }, (_, at) => {
    const [x, y] = [(at % size) - middle, Math.floor(at / size) - middle];
    return { at, far: Math.hypot(x, y), angle: Math.atan2(y, x) };
  }).sort((a, b) => a.far - b.far || a.angle - b.angle);
  const ranks = new Array<number>(size * size).fill(0);
  for (const [rank, { at }] of dots.entries()) ranks[at] = rank;
  return ranks;
}

/** Whether a dot is black where a share of all is to be: 0 gives none, 1 gives all. */
export function isBlack(share: number, x: number, y: number): boolean {
  return share >= ((ORDER[(y & 7) * 8 + (x & 7)] ?? 0) + 0.5) / 64;
}
