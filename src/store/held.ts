import type { SupplyReading } from '../model/history.js';
import { DAY } from './samples.js';

/** The page counter of a printer at one moment at which it was read. */
export interface KeptCount {
  readonly printer: string;
  readonly at: number;
  readonly pages: number;
}

/**
 * A store keeps changes alone, and a level that does not change was read all the same: whenever the page counter moved it is known
 * that the level still held. One such reading a day, and the last before each change, which bounds when it came. `answeredAt` is
 * when the printer last answered at all. Readings and counts oldest first.
 */
export function withHeld(
  changes: readonly SupplyReading[],
  counts: readonly KeptCount[],
  answeredAt: number | null,
): readonly SupplyReading[] {
  const out: SupplyReading[] = [];
  let next = 0;
  changes.forEach((change, i) => {
    const until = changes[i + 1]?.at ?? Number.POSITIVE_INFINITY;
    while (next < counts.length && (counts[next]?.at ?? 0) <= change.at) next += 1;
    const from = next;
    while (next < counts.length && (counts[next]?.at ?? 0) < until) next += 1;
    out.push(change, ...heldBy(change, counts.slice(from, next)));
  });
  const last = out.at(-1);
  if (last !== undefined && answeredAt !== null && answeredAt > last.at) out.push({ ...last, at: answeredAt });
  return out;
}

function heldBy(change: SupplyReading, counts: readonly KeptCount[]): readonly SupplyReading[] {
  const held: SupplyReading[] = [];
  let saidAt = change.at;
  counts.forEach(({ at, pages }, i) => {
    if (at - saidAt < DAY && i < counts.length - 1) return;
    saidAt = at;
    held.push({ ...change, at, pages });
  });
  return held;
}
