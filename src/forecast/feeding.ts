/** Feeding faults by tray: rollers wear slowly, and say so before they fail. */
import type { PastAlert } from '../model/history.js';
import type { FeedingFaults } from '../model/supplies.js';

/** Of one tray; over the whole time, and over its first and second half by sheets. */
export type TrayFaults = Omit<FeedingFaults, 'printer'>;

/** PrtAlertCodeTC labels of sheets that did not go through (IANA-PRINTER-MIB). */
export const FEEDING_CODES: ReadonlySet<string> = new Set([
  'jam',
  'inputMediaTrayFeedError',
  'inputMediaTrayJam',
  'inputMediaTrayPickRollerFailure',
  'mediaPathInputFeedError',
  'mediaPathInputJam',
  'mediaPathJam',
  'mediaPathPickRollerFailure',
]);
/** What chance alone does less often than this is called rising. */
const UNUSUAL = 0.02;

/**
 * Faults of each tray for 10,000 sheets. `sheetsBy` gives the printer's counter at a moment, growing; `from` and `to` bound
 * the time that is looked at. Where trays are not counted one by one, every tray is held against all sheets: the rates are
 * then too low, each by the same share, and still comparable over time.
 */
export function feedingFaults(
  alerts: readonly PastAlert[],
  sheetsBy: (at: number) => number,
  { from, to }: { readonly from: number; readonly to: number },
): readonly TrayFaults[] {
  const start = sheetsBy(from);
  const sheets = sheetsBy(to) - start;
  if (sheets <= 0) return [];
  const trays = new Map<string, { early: number; late: number }>();
  for (const { at, code, component } of alerts) {
    if (at < from || at > to || !FEEDING_CODES.has(code)) continue;
    const name = component ?? 'somewhere';
    const tray = trays.get(name) ?? { early: 0, late: 0 };
    if (sheetsBy(at) - start < sheets / 2) tray.early += 1;
    else tray.late += 1;
    trays.set(name, tray);
  }
  return [...trays]
    .map(([tray, { early, late }]) => ({
      tray,
      faults: early + late,
      per10000: ((early + late) / sheets) * 10_000,
      before: (early / (sheets / 2)) * 10_000,
      lately: (late / (sheets / 2)) * 10_000,
      rising: late > early && atLeast(late, early + late) < UNUSUAL,
    }))
    .sort((a, b) => b.per10000 - a.per10000 || (a.tray < b.tray ? -1 : 1));
}

/**
 * Probability of at least `hits`, more than half of `tries`, when each half is as likely: the upper tail of a binomial. Its
 * first term goes by logarithms, because 1 / 2^1075 is 0 to a computer; from there the terms only get smaller.
 */
function atLeast(hits: number, tries: number): number {
  let log = -tries * Math.LN2;
  for (let k = 1; k <= hits; k++) log += Math.log((tries - hits + k) / k);
  let sum = 0;
  let share = 1;
  for (let k = hits; k <= tries && share > 1e-12; k++) {
    sum += share;
    share *= (tries - k) / (k + 1);
  }
  return Math.exp(log) * sum;
}
