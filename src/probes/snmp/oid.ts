/** Numbers of a dotted OBJECT IDENTIFIER. */
function numbers(oid: string): number[] {
  return oid.split('.').map(Number);
}

/** Lexicographic order of RFC 3416 4.2.2: negative when `a` comes first, 0 when equal. */
export function compareOids(a: string, b: string): number {
  const left = numbers(a);
  const right = numbers(b);
  const shared = Math.min(left.length, right.length);
  for (let i = 0; i < shared; i++) {
    const difference = (left[i] ?? 0) - (right[i] ?? 0);
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

/** What stands behind `column` in `oid` (`1.3` for device 1 row 3), undefined when it lies elsewhere. */
export function instanceOf(column: string, oid: string): string | undefined {
  return oid.startsWith(`${column}.`) ? oid.slice(column.length + 1) : undefined;
}
