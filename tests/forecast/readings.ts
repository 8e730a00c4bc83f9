import type { SupplyHistory, SupplyReading } from '../../src/model/history.js';

export const DAY = 86_400_000;
/** A Monday. */
export const START = Date.parse('2026-01-05T00:00:00Z');

/** One reading a day, from START on. Percent of 100 unless another capacity is given. */
export function daily(
  levels: readonly number[],
  more: Partial<SupplyReading> & { readonly pagesADay?: number } = {},
): readonly SupplyReading[] {
  const { pagesADay, ...rest } = more;
  return levels.map((level, i) => ({
    at: START + i * DAY,
    level,
    capacity: 100,
    unit: 'percent',
    pages: pagesADay === undefined ? null : 5000 + i * pagesADay,
    ...rest,
  }));
}

export function pastOf(readings: readonly SupplyReading[], more: Partial<SupplyHistory['supply']> = {}): SupplyHistory {
  return {
    printer: 'front-desk',
    model: null,
    supply: {
      index: 1,
      name: 'Black toner',
      type: 'toner',
      class: 'supplyThatIsConsumed',
      colour: 'black',
      ...more,
    },
    readings,
  };
}

/** `from`, down by `by` each day. */
export function falling(from: number, by: number, days: number): readonly number[] {
  return Array.from({ length: days }, (_, i) => Math.max(0, from - i * by));
}
