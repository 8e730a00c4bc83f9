/** Parts that are due by pages or by age, by the intervals of the user's model file. */
import type { CarePlan } from '../model/cartridge.js';
import type { Maintenance } from '../model/supplies.js';
import { type Calendar, DAY } from './calendar.js';

export interface Worked {
  readonly printer: string;
  /** On the page counter now; null without one. */
  readonly pages: number | null;
  /** Pages a calendar day; null when nobody knows. */
  readonly pagesPerDay: number | null;
  readonly asOf: number;
}

/** Due within so many days counts as soon. */
const SOON_DAYS = 30;

/**
 * When a part is due next. Pages are counted from when it was last done, as the file says; where it says nothing, from the
 * last whole multiple of the interval on the counter, as if it had always been done in time. Age needs a date.
 */
export function maintenanceOf(plan: CarePlan, worked: Worked, calendar: Calendar): Maintenance {
  const { printer, asOf } = worked;
  const done = plan.done
    ?.filter((entry) => entry.printer.toLowerCase() === printer.toLowerCase())
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at))
    .at(-1);
  const pagesLeft = leftByPages(plan, worked, done?.pages);
  const byPages = pagesLeft === null ? null : daysFor(pagesLeft, worked.pagesPerDay);
  const byAge =
    plan.everyDays === undefined || done === undefined ? null : (Date.parse(done.at) - asOf) / DAY + plan.everyDays;
  const known = [byPages, byAge].filter((days) => days !== null);
  const days = known.length === 0 ? null : Math.min(...known);
  const due = (pagesLeft !== null && pagesLeft <= 0) || (days !== null && days <= 0);
  return {
    printer,
    part: plan.part,
    state: due
      ? 'due'
      : days !== null && days <= SOON_DAYS
        ? 'soon'
        : days === null && pagesLeft === null
          ? 'unknown'
          : 'ok',
    pagesLeft,
    dueAt: days === null ? null : calendar.dateOf(asOf + days * DAY),
    because: reason(plan, pagesLeft, done),
  };
}

function leftByPages(plan: CarePlan, { pages }: Worked, doneAt: number | undefined): number | null {
  if (plan.everyPages === undefined || pages === null) return null;
  if (doneAt !== undefined) return doneAt + plan.everyPages - pages;
  return plan.everyPages - (pages % plan.everyPages);
}

function daysFor(pages: number, perDay: number | null): number | null {
  if (pages <= 0) return 0;
  return perDay === null || perDay <= 0 ? null : pages / perDay;
}

function reason(plan: CarePlan, pagesLeft: number | null, done: { at: string } | undefined): string {
  const every = [
    plan.everyPages === undefined ? '' : `every ${plan.everyPages} pages`,
    plan.everyDays === undefined ? '' : `every ${plan.everyDays} days`,
  ].filter((part) => part !== '');
  const since = done === undefined ? 'the model file does not say when it was last done' : `last done ${done.at}`;
  const left =
    pagesLeft === null || plan.everyPages === undefined
      ? ''
      : pagesLeft <= 0
        ? `, ${-pagesLeft} pages over`
        : `, ${pagesLeft} pages to go`;
  return `${every.join(' or ')}; ${since}${left}`;
}
