/** Page counters: Counter32 that wraps, boards that are changed, hours without an answer. */

const WRAP = 2 ** 32;
/**
 * What an office's printer prints at most: at its full speed for an hour, then on and on as fast as its makers' largest monthly volumes
 * allow (common practice, no published source). Pages a minute.
 */
const FASTEST = 120;
const LASTING = 15;
const BURST_MINUTES = 60;
/** Below this a counter has hardly moved: it is not being kept. */
const LEAST_PAGES = 20;
const LEAST_SHARE = 0.8;

const mostIn = (minutes: number): number =>
  100 + FASTEST * Math.min(minutes, BURST_MINUTES) + LASTING * Math.max(0, minutes - BURST_MINUTES);

/**
 * Pages printed between two looks. A fall is a wrap at 2^32 when that fits the time, else the counter began again. More than could
 * be printed in the time is another printer's or another board's counter, and tells nothing.
 */
export function pagesBetween(before: number, after: number, ms: number): number {
  const most = mostIn(ms / 60_000);
  const plain = after - before;
  if (plain >= 0) return plain <= most ? plain : 0;
  if (plain + WRAP <= most) return plain + WRAP;
  return after <= most ? after : 0;
}

/**
 * Pages since the first look, for each look, never falling. Null when there is no counter worth the name: fewer than four
 * in five looks have one, or it hardly moves.
 */
export function pagesSince(
  looks: readonly { readonly at: number; readonly pages: number | null }[],
): readonly number[] | null {
  const having = looks.filter(({ pages }) => pages !== null).length;
  if (having < 2 || having < LEAST_SHARE * looks.length) return null;
  let total = 0;
  let last: { at: number; pages: number } | undefined;
  const sums = looks.map(({ at, pages }) => {
    if (pages === null) return total;
    if (last !== undefined) total += pagesBetween(last.pages, pages, at - last.at);
    last = { at, pages };
    return total;
  });
  return total >= LEAST_PAGES ? sums : null;
}
