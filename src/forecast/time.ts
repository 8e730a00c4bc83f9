/** RFC 3339 or the shorter forms of ISO 8601; without an offset the time is UTC. */
const TIME = /^(\d{4}-\d{2}-\d{2})(?:[T ]\d{2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(Z|[+-]\d{2}:?\d{2})?)?$/i;

/** Outside these no printer was read, and days to come would leave the four digits of a year (RFC 3339 section 1). */
const EARLIEST = Date.UTC(1970, 0, 1);
const LATEST = Date.UTC(3000, 0, 1);

/** Milliseconds since 1970 of an ISO 8601 time from 1970 to 2999; undefined for anything else. */
export function readTime(text: string): number | undefined {
  const match = TIME.exec(text.trim());
  if (match === null) return undefined;
  const [whole, date = '', zone] = match;
  if (!isInCalendar(date)) return undefined;
  const plain = whole
    .replace(/[ t]/, 'T')
    .replace(',', '.')
    .replace(/([+-]\d{2})(\d{2})$/, '$1:$2');
  const at = Date.parse(plain.includes('T') && zone === undefined ? `${plain}Z` : plain);
  return at >= EARLIEST && at < LATEST ? at : undefined;
}

/** `Date.parse` takes a 31st of February for the 3rd of March. */
function isInCalendar(date: string): boolean {
  const at = Date.parse(`${date}T00:00:00Z`);
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(date);
}
