import type { Supply } from './printer.js';

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
}
