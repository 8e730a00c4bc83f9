/**
 * A comb: marks at `phase + period × turn` for whole turns. Fitted to readings by least squares over unknown turns:
 * readings are counted outwards from one of them, the period being mended at each step, so that a far turn is counted only
 * with a period that the near ones have made sharp.
 */

/** What is known of the period beforehand, in millimetres: a part's circumference and how far it may be off. */
export interface Belief {
  readonly mm: number;
  readonly spread: number;
}

export interface Comb {
  readonly period: number;
  /** Standard error of the period from the readings alone; infinite when they lie on one turn. */
  readonly sigma: number;
  /** Period from the readings alone, without the belief: by least squares. */
  readonly freePeriod: number;
  readonly phase: number;
  /** Turn of each reading; null for one that does not lie on the comb. */
  readonly turns: readonly (number | null)[];
  /** Sum of squared residuals over the squared reading error, of the readings that lie on it, and of the period against the belief. */
  readonly chiSquare: number;
  /** Determinant of the normal matrix in units of the reading error: how sharply phase and period are held. */
  readonly sharpness: number;
}

/** A reading further off than this many reading errors does not lie on the comb. */
const OFF = 3.5;

/** Sums of the normal equations of `x = phase + period × turn`, with the belief as one more observation. */
class Sums {
  n = 0;
  k = 0;
  kk = 0;
  x = 0;
  kx = 0;

  add(turn: number, mm: number): void {
    this.n += 1;
    this.k += turn;
    this.kk += turn * turn;
    this.x += mm;
    this.kx += turn * mm;
  }

  /** Phase and period, given the weight and value of a belief on the period. Undefined when nothing holds the period. */
  solve(
    weight: number,
    mm: number,
  ): { readonly phase: number; readonly period: number; readonly det: number } | undefined {
    const kk = this.kk + weight;
    const kx = this.kx + weight * mm;
    const det = this.n * kk - this.k * this.k;
    if (this.n === 0 || det < 1e-12) return undefined;
    return { phase: (this.x * kk - this.k * kx) / det, period: (this.n * kx - this.k * this.x) / det, det };
  }
}

/**
 * Fits a comb through the reading at `anchor`, from a first guess of the period. Readings in millimetres, ascending;
 * `error` is the standard deviation of one reading. Undefined when no comb with a positive period comes of it.
 */
export function fitComb(
  readings: readonly number[],
  error: number,
  anchor: number,
  guess: number,
  belief?: Belief,
): Comb | undefined {
  const counted = countOutwards(readings, error, anchor, guess, belief);
  if (counted === undefined) return undefined;
  return settle(readings, error, counted, belief);
}

interface Line {
  readonly phase: number;
  readonly period: number;
}

function countOutwards(
  readings: readonly number[],
  error: number,
  anchor: number,
  guess: number,
  belief: Belief | undefined,
): Line | undefined {
  const start = readings[anchor];
  if (start === undefined || !(guess > 0)) return undefined;
  // The guess counts as an observation of its own, a vague one, until the readings take over.
  const weight = (error / (belief?.spread ?? guess / 8)) ** 2;
  const value = belief?.mm ?? guess;
  const sums = new Sums();
  sums.add(0, start);
  let line: Line = { phase: start, period: guess };
  const others = readings
    .map((mm, at) => ({ mm, at }))
    .filter(({ at }) => at !== anchor)
    .sort((a, b) => Math.abs(a.mm - start) - Math.abs(b.mm - start));
  for (const { mm } of others) {
    const turn = Math.round((mm - line.phase) / line.period);
    if (Math.abs(mm - line.phase - turn * line.period) > OFF * error * 1.5) continue;
    sums.add(turn, mm);
    const solved = sums.solve(weight, value);
    if (solved === undefined || !(solved.period > 0)) return undefined;
    line = solved;
  }
  return line;
}

/** Takes readings in and out until nothing changes: those within `OFF` errors of the comb belong to it. */
function settle(readings: readonly number[], error: number, start: Line, belief: Belief | undefined): Comb | undefined {
  const weight = belief === undefined ? 0 : (error / belief.spread) ** 2;
  let line = start;
  let before = '';
  for (let round = 0; round < 5; round++) {
    const turns = readings.map((mm) => turnOf(mm, line, error));
    const sums = sumsOf(readings, turns);
    const solved = sums.solve(weight, belief?.mm ?? 0);
    if (solved === undefined || !(solved.period > 0)) return undefined;
    line = solved;
    const now = turns.join();
    if (now === before) return finished(readings, turns, error, { ...solved, sums, belief });
    before = now;
  }
  return undefined;
}

function turnOf(mm: number, { phase, period }: Line, error: number): number | null {
  const turn = Math.round((mm - phase) / period);
  return Math.abs(mm - phase - turn * period) <= OFF * error ? turn : null;
}

function sumsOf(readings: readonly number[], turns: readonly (number | null)[]): Sums {
  const sums = new Sums();
  readings.forEach((mm, at) => {
    const turn = turns[at];
    if (turn !== null && turn !== undefined) sums.add(turn, mm);
  });
  return sums;
}

interface Solved extends Line {
  readonly det: number;
  readonly sums: Sums;
  readonly belief: Belief | undefined;
}

function finished(readings: readonly number[], turns: readonly (number | null)[], error: number, solved: Solved): Comb {
  const { phase, period, det, sums, belief } = solved;
  const own = sums.solve(0, 0);
  const residuals = readings.map((mm, at) => {
    const turn = turns[at];
    return turn === null || turn === undefined ? 0 : (mm - phase - turn * period) / error;
  });
  const against = belief === undefined ? 0 : (period - belief.mm) / belief.spread;
  const first = Math.min(...turns.filter((turn) => turn !== null));
  return {
    period,
    freePeriod: own?.period ?? period,
    sigma: own === undefined ? Number.POSITIVE_INFINITY : error * Math.sqrt(sums.n / own.det),
    phase: phase + first * period,
    turns: turns.map((turn) => (turn === null ? null : turn - first)),
    chiSquare: residuals.reduce((sum, r) => sum + r * r, against * against),
    sharpness: det,
  };
}
