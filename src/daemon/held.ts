/**
 * One piece of work for all who want its outcome: while it is under way, however long it takes, and for `holdsMs` after its end. One
 * that failed is told to those who waited for it, and not kept.
 */
export function held<T>(make: () => Promise<T>, holdsMs: number, now = () => performance.now()): () => Promise<T> {
  let current: { readonly outcome: Promise<T>; until: number } | undefined;
  return () => {
    if (current !== undefined && now() <= current.until) return current.outcome;
    const begun = { outcome: make(), until: Number.POSITIVE_INFINITY };
    current = begun;
    begun.outcome.then(
      () => {
        begun.until = now() + holdsMs;
      },
      () => {
        current = undefined;
      },
    );
    return begun.outcome;
  };
}
