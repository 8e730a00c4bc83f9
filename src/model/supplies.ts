import type { Supply } from './printer.js';

/** `outfeed.supplies/1`: what runs out when, and what to order. */
export const SUPPLIES_SCHEMA = 'outfeed.supplies/1';

/** Nothing is foreseen further than this: so many days left means so many or more. */
export const FARTHEST_DAYS = 1095;

/** A middle estimate and the interval around it. */
export interface Estimate<T> {
  readonly median: T;
  readonly low: T;
  readonly high: T;
}

/** How long one supply of one printer lasts: an entry of `outfeed.supplies/1`. */
export interface Forecast {
  readonly printer: string;
  readonly supply: Pick<Supply, 'index' | 'name' | 'type' | 'colour'>;
  readonly percent: number | null;
  readonly state: Supply['state'];
  /** False: the past does not carry a forecast; the estimates are null and `because` says what is missing. */
  readonly enough: boolean;
  readonly because: string;
  /** Percent points a calendar day. */
  readonly perDay: Estimate<number> | null;
  readonly daysLeft: Estimate<number> | null;
  /** ISO 8601 dates. */
  readonly emptyAt: Estimate<string> | null;
  readonly pagesLeft: Estimate<number> | null;
  /** ISO 8601 dates. */
  readonly refills: readonly string[];
  /** What the cartridge gives here beside what it is rated for; null or absent without a page counter. */
  readonly yield?: Yield | null;
  /** What a person should know beside the figures. */
  readonly notes?: readonly string[];
}

/** True for a supply that outlasts all that is foreseen: its dates are no dates. */
export function isFar({ daysLeft }: Pick<Forecast, 'daysLeft'>): boolean {
  return (daysLeft?.median ?? 0) >= FARTHEST_DAYS;
}

/** Pages for a cartridge. Rated yields hold at 5 % coverage (ISO/IEC 19752, 19798, 24711). */
export interface Yield {
  readonly pagesPerPercent: number;
  /** Null until the model's file says what the cartridge is rated for. */
  readonly ratedPagesPerPercent: number | null;
  /** Estimated mean coverage of a page with this supply, percent of its area. */
  readonly coverage: number | null;
  /** In the currency of `price`. Null until the model's file has a price. */
  readonly costPerPage: number | null;
  readonly currency: string | null;
}

/** Something to order. */
export interface Order {
  readonly what: string;
  /** Printers that it is for. */
  readonly fits: readonly string[];
  readonly quantity: number;
  /** ISO 8601 date. */
  readonly orderBy: string;
  readonly because: string;
}

/** A part that is due by pages or by age. */
export interface Maintenance {
  readonly printer: string;
  readonly part: string;
  readonly state: 'ok' | 'soon' | 'due' | 'unknown';
  /** Null where the printer counts no pages or the interval is by age only; below 0 when overdue. */
  readonly pagesLeft: number | null;
  /** ISO 8601 date; null when it can't be told. */
  readonly dueAt: string | null;
  readonly because: string;
}

/** Sheets of a tray that did not go through. Rates are for 10,000 sheets of the printer. */
export interface FeedingFaults {
  readonly printer: string;
  /** As the alert table has it, such as `input 2`. */
  readonly tray: string;
  readonly faults: number;
  readonly per10000: number;
  /** Of the first and of the second half of the sheets. */
  readonly before: number;
  readonly lately: number;
  /** More than chance explains: the rollers wear. */
  readonly rising: boolean;
}

export interface SuppliesDocument {
  readonly schema: typeof SUPPLIES_SCHEMA;
  /** ISO 8601, UTC. */
  readonly asOf: string;
  /** Probability that a truth lies within low and high. */
  readonly interval: number;
  readonly forecasts: readonly Forecast[];
  readonly orders: readonly Order[];
  readonly maintenance: readonly Maintenance[];
  /** Absent where no past of alerts is known. */
  readonly feeding?: readonly FeedingFaults[];
  /** What could not be read, a sentence each. */
  readonly problems: readonly string[];
}
