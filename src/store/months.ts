/** Months counted from January 1970, UTC: how the parts of a table in PostgreSQL are numbered. */
export function monthOf(time: number): number {
  const date = new Date(time);
  return (date.getUTCFullYear() - 1970) * 12 + date.getUTCMonth();
}

/** The first millisecond of a month. */
export function monthStart(month: number): number {
  return Date.UTC(1970 + Math.floor(month / 12), month % 12, 1);
}
