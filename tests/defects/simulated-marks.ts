import { type RotatingPart, rotatingPart } from '../../src/defects/rotating-parts.js';

/** A stream of numbers in [0, 1) that is the same for the same seed (a 32-bit mixing generator; from memory). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A normal deviate by the method of Box and Muller (1958). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

export interface Conditions {
  /** Standard deviation of a reading, mm. */
  readonly error: number;
  readonly missed: number;
  readonly doubled: number;
  readonly pageMm: number;
}

/** Positions that a person would read off one page: a mark at each turn, some missed, some read twice, each with an error. */
export function readMarks(
  periodMm: number,
  random: () => number,
  { error, missed, doubled, pageMm }: Conditions,
): number[] {
  const marks: number[] = [];
  for (let at = random() * periodMm; at <= pageMm; at += periodMm) {
    if (random() < missed) continue;
    marks.push(at + error * normal(random));
    if (random() < doubled) marks.push(at + error * normal(random));
  }
  return marks.map((mm) => Math.round(mm * 10) / 10);
}

/** Four to seven parts of an invented model, sized as the trade's ranges say, each with a name of its own. */
export function inventedModel(random: () => number): readonly RotatingPart[] {
  const diameters: readonly (readonly [string, number, number])[] = [
    ['drum', 20, 60],
    ['charge roller', 8, 16],
    ['developer roller', 10, 25],
    ['transfer roller', 12, 24],
    ['fuser roller', 18, 45],
    ['pressure roller', 18, 45],
    ['registration roller', 10, 30],
  ];
  const some = diameters.filter(() => random() < 0.75);
  return (some.length < 3 ? diameters : some).map(([part, low, high]) =>
    rotatingPart({ part, diameterMm: Math.round((low + random() * (high - low)) * 10) / 10 }),
  );
}
