/** How a supply stands now. The rules are those of `show`, but for alerts, which a history of levels does not have. */
import { readLevel } from '../facts/printer/levels.js';
import { withStates } from '../facts/printer/supply-state.js';
import type { SupplyHistory, SupplyReading } from '../model/history.js';
import type { Forecast } from '../model/supplies.js';

/** Percent left and state by the last reading. */
export function stateNow(
  { supply, readings }: SupplyHistory,
  last: SupplyReading | undefined,
): Pick<Forecast, 'percent' | 'state'> {
  if (last === undefined) return { percent: null, state: 'unknown' };
  const silent = (): void => {};
  const level = readLevel(last.level, last.capacity, last.unit, supply.name, silent);
  const measured = level.meaning === 'measured' && level.percent === null ? ofHighest(readings, last) : level.percent;
  const [stated] = withStates([{ ...supply, unit: last.unit, ...level, percent: measured }], []);
  return { percent: measured, state: stated?.state ?? 'unknown' };
}

/** Where the printer gives no capacity, the highest level ever seen stands for it. */
function ofHighest(readings: readonly SupplyReading[], last: SupplyReading): number | null {
  const highest = readings.reduce((most, { at, level }) => (at <= last.at ? Math.max(most, level) : most), 0);
  if (highest <= 0) return null;
  return last.level === 0 ? 0 : Math.max(1, Math.round((last.level / highest) * 100));
}
