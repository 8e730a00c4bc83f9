/** Days as in ISO 8601 (1 = Monday) and minutes from midnight, `to` after `from` on the same day. */
export interface HoursSpan {
  readonly days: readonly number[];
  readonly from: number;
  readonly to: number;
}

const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];

/** `mon-fri 08:00-18:00`, several with commas between → spans; undefined when it can't be read. */
export function readOfficeHours(text: string): readonly HoursSpan[] | undefined {
  const spans = text.split(',').map((part) => readSpan(part.trim()));
  return spans.every((span) => span !== undefined) ? spans : undefined;
}

/** `20:00-07:00` → minutes from midnight; `to` may lie before `from`: past midnight. Undefined when it can't be read. */
export function readClockSpan(text: string): { readonly from: number; readonly to: number } | undefined {
  const match = /^(\d{1,2}):(\d{2})-(\d{1,2}):(\d{2})$/.exec(text.trim());
  if (match === null) return undefined;
  const from = minutes(match[1], match[2]);
  const to = minutes(match[3], match[4]);
  return from === undefined || to === undefined || from === to ? undefined : { from, to };
}

function readSpan(text: string): HoursSpan | undefined {
  const match = /^([a-z]{3})(?:-([a-z]{3}))? +(\S+)$/i.exec(text);
  if (match === null) return undefined;
  const first = DAYS.indexOf((match[1] ?? '').toLowerCase());
  const last = match[2] === undefined ? first : DAYS.indexOf(match[2].toLowerCase());
  const span = readClockSpan(match[3] ?? '');
  if (first < 0 || last < 0 || span === undefined || span.to <= span.from) return undefined;
  const count = ((last - first + 7) % 7) + 1;
  return { days: Array.from({ length: count }, (_, offset) => ((first + offset) % 7) + 1), ...span };
}

function minutes(hours: string | undefined, rest: string | undefined): number | undefined {
  const total = Number(hours) * 60 + Number(rest);
  return Number(rest) < 60 && total <= 24 * 60 ? total : undefined;
}
