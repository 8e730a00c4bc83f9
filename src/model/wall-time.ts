/** Date and time of day as the clock on a wall shows them. */
export interface WallTime {
  /** `2026-01-31` */
  readonly date: string;
  /** `09` */
  readonly hour: string;
  /** `05` */
  readonly minute: string;
}

/** The clock of a time zone (a name of the IANA table), for milliseconds since 1970. */
export function wallTimeIn(timezone: string): (time: number) => WallTime {
  const format = new Intl.DateTimeFormat('en', {
    timeZone: timezone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  return (time) => {
    const parts = Object.fromEntries(format.formatToParts(time).map(({ type, value }) => [type, value]));
    const { year, month, day, hour = '', minute = '' } = parts;
    return { date: `${year}-${month}-${day}`, hour, minute };
  };
}
