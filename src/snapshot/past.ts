import type { Incident, PastState, PrinterPast, SinceVisit } from '../model/snapshot.js';

const DAY = 86_400_000;
/** Days that are looked back upon. */
export const PAST_DAYS = 90;

/** How a printer was found from this moment on, until the next. Times are milliseconds since 1970. */
export interface FoundThen {
  readonly at: number;
  readonly silent: boolean | null;
  readonly cause: string;
}

/** Its page counter at one moment. */
export interface CountedThen {
  readonly at: number;
  readonly pages: number;
}

/** What an agent kept of one printer, oldest first. */
export interface Kept {
  /** Since when it is watched. */
  readonly since: number;
  readonly found: readonly FoundThen[];
  readonly counts: readonly CountedThen[];
}

/** The last three months of a printer: how it was at any moment, and what it printed on each day (UTC). */
export function pastOf(kept: Kept, now: number): PrinterPast {
  const today = Math.floor(now / DAY) * DAY;
  const from = today - (PAST_DAYS - 1) * DAY;
  const ends = Array.from({ length: PAST_DAYS }, (_, day) => Math.min(now, from + (day + 1) * DAY));
  return {
    states: statesOf(kept, from, now),
    firstDay: iso(from).slice(0, 10),
    pages: ends.map((end, day) => printedBetween(kept.counts, from + day * DAY, end)),
  };
}

type Stretch = PrinterPast['states'][number];

function statesOf({ since, found }: Kept, from: number, now: number): readonly Stretch[] {
  const stretches: Stretch[] = [];
  const add = (start: number, end: number, state: PastState, cause: string | null): void => {
    const [a, b] = [Math.max(start, from), Math.min(end, now)];
    if (b <= a) return;
    const last = stretches.at(-1);
    if (last?.state === state && last.cause === cause) stretches.splice(-1, 1, { ...last, to: iso(b) });
    else stretches.push({ from: iso(a), to: iso(b), state, cause });
  };
  const first = found[0]?.at ?? now;
  add(from, Math.max(since, first), 'unwatched', null);
  found.forEach(({ at, silent, cause }, index) => {
    const end = found[index + 1]?.at ?? now;
    add(at, end, stateOf(silent), silent === false ? null : cause);
  });
  return stretches;
}

function stateOf(silent: boolean | null): PastState {
  if (silent === null) return 'unclear';
  return silent ? 'silent' : 'well';
}

/** Null where the counter was not known by the start, or fell: another device, or a counter that was set back. */
function printedBetween(counts: readonly CountedThen[], start: number, end: number): number | null {
  const [before, after] = [countAt(counts, start), countAt(counts, end)];
  return before === null || after === null || after < before ? null : after - before;
}

/** The counter as it stood then: it is kept whenever it changes. Null before it was first read. */
export function countAt(counts: readonly CountedThen[], at: number): number | null {
  let low = 0;
  let high = counts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((counts[middle]?.at ?? 0) <= at) low = middle + 1;
    else high = middle;
  }
  return counts[low - 1]?.pages ?? null;
}

/** What is known of both ends of the time since the last visit. */
export interface VisitEnds {
  /** ISO 8601, UTC. */
  readonly lastVisit: string;
  readonly lifePagesThen: number | null;
  readonly lifePagesNow: number | null;
  readonly incidents: readonly Incident[];
}

/** A counter that is lower than it was belongs to another device, or was set back: nothing is said then. */
export function sinceVisitOf({ lastVisit, lifePagesThen, lifePagesNow, incidents }: VisitEnds): SinceVisit {
  const known = lifePagesThen !== null && lifePagesNow !== null && lifePagesNow >= lifePagesThen;
  return {
    pages: known ? lifePagesNow - lifePagesThen : null,
    lifePagesThen,
    faults: incidents.filter(({ startedAt }) => startedAt > lastVisit).length,
  };
}

function iso(at: number): string {
  return new Date(at).toISOString();
}
