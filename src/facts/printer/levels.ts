/** Levels and capacities of RFC 3805: special values, nonsense, and what a percentage may be made of. */
import type { LevelMeaning } from '../../model/printer.js';

/** Takes one sentence on what broke its standard and how it was read. */
export type Note = (sentence: string) => void;

export interface Level {
  readonly level: number | null;
  readonly capacity: number | null;
  /** Whole percent of capacity; a level above zero is never shown as 0. */
  readonly percent: number | null;
  readonly meaning: LevelMeaning;
}

function percentOf(level: number, capacity: number): number {
  const percent = Math.round((level / capacity) * 100);
  return level > 0 ? Math.max(1, percent) : 0;
}

/** Level in a unit that is a percentage by itself, where the capacity is unknown (-2), without limit (-1) or absent. */
function percentUnit(level: number, capacity: number | null, unit: string | null): boolean {
  return unit === 'percent' && level <= 100 && (capacity === null || capacity < 0);
}

/** Special values that came without their sign: no Integer32 (RFC 2578 7.1.1) is that large, and these three have a meaning. */
function withSign(value: number | null, what: string, note: Note): number | null {
  const signed = value === null ? null : value - 2 ** 32;
  if (signed === null || signed < -3 || signed > -1) return value;
  note(`${what} ${value} is ${signed} without its sign; read as ${signed}.`);
  return signed;
}

/**
 * Reads a level against its capacity (prtMarkerSuppliesLevel, prtInputCurrentLevel, prtOutputRemainingCapacity;
 * RFC 3805 section 6): -1 no limit, -2 unknown, -3 some left; any other negative number, and a level without a
 * sensible capacity of 0, is nonsense and reads as unknown. A level above capacity reads as 100 percent.
 * Level and capacity are passed on as they came, but for a lost sign. `subject` names the part in a note.
 */
export function readLevel(
  givenLevel: number | null,
  givenCapacity: number | null,
  unit: string | null,
  subject: string,
  note: Note,
): Level {
  const level = withSign(givenLevel, `${subject}: level`, note);
  const capacity = withSign(givenCapacity, `${subject}: capacity`, note);
  const given = { level, capacity, percent: null };
  if (level === null || level === -2) return { ...given, meaning: 'unknown' };
  if (level === -1) return { ...given, meaning: 'no-limit' };
  if (level === -3) return { ...given, meaning: 'some-left' };
  if (level < 0) {
    note(`${subject}: level ${level} means nothing in RFC 3805; read as unknown.`);
    return { ...given, meaning: 'unknown' };
  }
  if (percentUnit(level, capacity, unit)) return { ...given, percent: level, meaning: 'measured' };
  if (capacity === 0) {
    note(`${subject}: capacity 0 with level ${level} gives no measure; read as unknown.`);
    return { ...given, meaning: 'unknown' };
  }
  if (capacity === null || capacity < 0) return { ...given, meaning: 'measured' };
  if (level > capacity) {
    note(`${subject}: level ${level} is above its capacity ${capacity}; read as 100 percent.`);
    return { ...given, percent: 100, meaning: 'measured' };
  }
  return { ...given, percent: percentOf(level, capacity), meaning: 'measured' };
}
