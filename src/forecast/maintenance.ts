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
/** Beyond a hundred years there is no date worth the name. */
const MOST_DAYS = 36_525;

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
    plan.everyDays === undefined || done === undefined
      ? null
      : (calendar.momentOf(Date.parse(done.at) / DAY + plan.everyDays) - asOf) / DAY;
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
    because: reason(plan, pagesLeft, done, isLower(worked, done?.pages)),
  };
}

/** True when the counter has fallen since: a new board, or a slip of the pen. */
function isLower({ pages }: Worked, doneAt: number | undefined): boolean {
  return pages !== null && doneAt !== undefined && pages < doneAt;
}

function leftByPages(plan: CarePlan, worked: Worked, doneAt: number | undefined): number | null {
  const { pages } = worked;
  if (plan.everyPages === undefined || pages === null || isLower(worked, doneAt)) return null;
  if (doneAt !== undefined) return doneAt + plan.everyPages - pages;
  return plan.everyPages - (pages % plan.everyPages);
}

function daysFor(pages: number, perDay: number | null): number | null {
  if (pages <= 0) return 0;
  const days = perDay === null || perDay <= 0 ? Number.POSITIVE_INFINITY : pages / perDay;
  return days > MOST_DAYS ? null : days;
}

function reason(plan: CarePlan, pagesLeft: number | null, done: { at: string } | undefined, lower: boolean): string {
  const every = [
    plan.everyPages === undefined ? '' : `every ${plan.everyPages} pages`,
    plan.everyDays === undefined ? '' : `every ${plan.everyDays} days`,
  ].filter((part) => part !== '');
  const since = done === undefined ? 'the model file does not say when it was last done' : `last done ${done.at}`;
  const unlike = lower ? ', but the page counter is lower now than it was then' : '';
  return `${every.join(' or ')}; ${since}${unlike}${leftWords(pagesLeft)}`;
}

function leftWords(pagesLeft: number | null): string {
  if (pagesLeft === null) return '';
  return pagesLeft <= 0 ? `, ${-pagesLeft} pages over` : `, ${pagesLeft} pages to go`;
}
