/** Feeding faults of a site's trays, from the alerts and page counters that were kept. */
import type { PastAlert } from '../model/history.js';
import type { FeedingFaults } from '../model/supplies.js';
import { pagesBetween } from './counter.js';
import { feedingFaults } from './feeding.js';

/** One look at a printer's page counter. */
export interface Count {
  readonly printer: string;
  readonly at: number;
  readonly pages: number;
}

/** Faults of each tray over what is remembered, worst first; trays whose rate rises before the others. Counts oldest first. */
export function wearOf(alerts: readonly PastAlert[], counts: readonly Count[], asOf: number): readonly FeedingFaults[] {
  const printers = [...new Set(alerts.map(({ printer }) => printer))];
  return printers
    .flatMap((printer) => {
      const own = counts.filter((count) => count.printer === printer && count.at <= asOf);
      const [first] = own;
      if (first === undefined) return [];
      const of = alerts.filter((alert) => alert.printer === printer);
      const trays = feedingFaults(of, grown(own), { from: first.at, to: asOf });
      return trays.map((tray) => ({
        printer,
        ...tray,
        per10000: round(tray.per10000),
        before: round(tray.before),
        lately: round(tray.lately),
      }));
    })
    .sort((a, b) => Number(b.rising) - Number(a.rising) || b.per10000 - a.per10000);
}

/** Pages since the first look, at any moment: what the last look before it had counted. */
function grown(counts: readonly Count[]): (at: number) => number {
  let total = 0;
  const sums = counts.map(({ at, pages }, i) => {
    const before = counts[i - 1];
    if (before !== undefined) total += pagesBetween(before.pages, pages, at - before.at);
    return { at, total };
  });
  return (at) => sums.findLast((sum) => sum.at <= at)?.total ?? 0;
}

function round(rate: number): number {
  return Number(rate.toFixed(1));
}
