/** The candidate that a mistyped word most likely meant; undefined when none is close. Case does not count. */
export function nearest(word: string, candidates: readonly string[]): string | undefined {
  const wanted = word.toLowerCase();
  let best: string | undefined;
  let least = Math.max(1, Math.floor(wanted.length / 3)) + 1;
  for (const candidate of candidates) {
    const edits = distance(wanted, candidate.toLowerCase());
    if (edits >= least) continue;
    best = candidate;
    least = edits;
  }
  return best ?? candidates.find((candidate) => wanted.length > 2 && candidate.toLowerCase().startsWith(wanted));
}

/** Edits (insert, delete, replace) that turn one word into the other: the Levenshtein distance. */
function distance(from: string, to: string): number {
  if (Math.abs(from.length - to.length) > 8) return Number.POSITIVE_INFINITY;
  let row = Array.from({ length: to.length + 1 }, (_, column) => column);
  for (let line = 1; line <= from.length; line++) {
    const next = [line];
    for (let column = 1; column <= to.length; column++) {
      const kept = (row[column - 1] ?? 0) + (from[line - 1] === to[column - 1] ? 0 : 1);
      next.push(Math.min(kept, (row[column] ?? 0) + 1, (next[column - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[to.length] ?? 0;
}
