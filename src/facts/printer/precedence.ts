/** The one rule of the merge: the first source in a stated order that has something to say gives the field. */

export type FromSource = 'snmp' | 'ipp' | 'dns-sd';

/** Field → source of its value; filled while fields are chosen. */
export type From = Map<string, FromSource>;

const isNothing = (value: unknown): boolean =>
  value === null || value === undefined || value === '' || (Array.isArray(value) && value.length === 0);

/**
 * Takes the first candidate that is something (not null, not blank, not an empty list), notes its source under the
 * field's name, and gives `nothing` when there is none.
 */
export function choose<T>(
  from: From,
  field: string,
  candidates: readonly (readonly [FromSource, T | null | undefined])[],
  nothing: T,
): T {
  for (const [source, value] of candidates) {
    if (isNothing(value)) continue;
    from.set(field, source);
    return value as T;
  }
  return nothing;
}
