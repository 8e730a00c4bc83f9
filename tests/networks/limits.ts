/** What `why` may take: the name, a probe of two answers of two seconds each, one probe after the others, and what starts. */
export const WHY_MS = 12_000;

/** A machine that has no time for its own timers loses answers by itself: one more try. */
export const LIVE = { timeout: 60_000, retry: 1 };
