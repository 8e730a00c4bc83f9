/** RFC 3339 or the shorter forms of ISO 8601; without an offset the time is UTC. */
const TIME = /^\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(Z|[+-]\d{2}:?\d{2})?)?$/i;

/** Milliseconds since 1970 of an ISO 8601 time; undefined for anything else. */
export function readTime(text: string): number | undefined {
  const match = TIME.exec(text.trim());
  if (match === null) return undefined;
  const [whole, zone] = match;
  const plain = whole
    .replace(/[ t]/, 'T')
    .replace(',', '.')
    .replace(/([+-]\d{2})(\d{2})$/, '$1:$2');
  const at = Date.parse(plain.includes('T') && zone === undefined ? `${plain}Z` : plain);
  return Number.isNaN(at) ? undefined : at;
}
