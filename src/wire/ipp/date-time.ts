import type { Buffer } from 'node:buffer';

/**
 * DateAndTime of RFC 2579, as RFC 8010 3.9 uses it: year (2), month, day, hour, minute, second, deci-second, direction
 * from UTC, hours, minutes. Eleven octets, or eight without an offset. ISO 8601 out, undefined when there is no such
 * date. A leap second (60) is written as it came.
 */
export function readDateTime(octets: Buffer): string | undefined {
  if (octets.length !== 11 && octets.length !== 8) return undefined;
  const year = octets.readUInt16BE(0);
  const [month = 0, day = 0, hour = 0, minute = 0, second = 0, deci = 0] = octets.subarray(2, 8);
  const inRange = month >= 1 && month <= 12 && hour <= 23 && minute <= 59 && second <= 60 && deci <= 9;
  if (!inRange || day < 1 || day > daysIn(year, month)) return undefined;
  const offset = octets.length === 8 ? '' : readOffset(octets.subarray(8));
  if (offset === undefined) return undefined;
  const fraction = deci === 0 ? '' : `.${deci}`;
  return `${pad(year, 4)}-${pad(month)}-${pad(day)}T${pad(hour)}:${pad(minute)}:${pad(second)}${fraction}${offset}`;
}

function readOffset(octets: Buffer): string | undefined {
  const [direction = 0, hours = 0, minutes = 0] = octets;
  const sign = String.fromCharCode(direction);
  // RFC 2579 allows 13 hours, for daylight saving time in the east; 14 exists by now.
  if ((sign !== '+' && sign !== '-') || hours > 14 || minutes > 59) return undefined;
  return `${sign}${pad(hours)}:${pad(minutes)}`;
}

function daysIn(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}

function pad(value: number, width = 2): string {
  return String(value).padStart(width, '0');
}
