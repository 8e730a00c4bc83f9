/**
 * What is handed to a database with a statement. A text with a NUL is refused by PostgreSQL (its "Character Types") and cut there by
 * SQLite's drivers, and printers send such texts: another sign stands in its place.
 */
export function storable(parameters: readonly unknown[]): unknown[] {
  return parameters.map((one) =>
    typeof one === 'string' && one.includes('\0') ? one.replaceAll('\0', '\ufffd') : one,
  );
}
