import type { Evidence } from '../model/evidence.js';
import type { ClockOffset } from '../model/snapshot.js';
import type { EvidenceBundle } from '../model/why.js';

/** Clocks of devices that are further off than this were never set, and tell nothing of the machine that asks. */
const NEVER_SET_MS = 370 * 86_400_000;

/**
 * How far the clocks of the devices are from that of the machine that asked them: the middle one, in whole seconds, positive where
 * theirs are ahead. Undefined where none told its time (printer-current-time, RFC 8011 5.4.30; hrSystemDate, RFC 2790). Pure.
 */
export function clockOffset(bundles: readonly EvidenceBundle[]): ClockOffset | undefined {
  const told = bundles.flatMap(({ evidence }) => {
    const [one] = evidence.flatMap(offsetIn).filter(({ ms }) => Math.abs(ms) < NEVER_SET_MS);
    return one === undefined ? [] : [one];
  });
  const sorted = told.map(({ ms }) => Math.round(ms / 1000)).sort((a, b) => a - b);
  const [first, last] = [sorted[0], sorted.at(-1)];
  const offsetSeconds = sorted[Math.floor((sorted.length - 1) / 2)];
  if (first === undefined || last === undefined || offsetSeconds === undefined) return undefined;
  const sources = [...new Set(told.map(({ source }) => source))].sort();
  return { offsetSeconds, spreadSeconds: last - first, devices: sorted.length, sources };
}

interface Offset {
  readonly ms: number;
  readonly source: ClockOffset['sources'][number];
}

/** A device's clock is read while its answer is on the way: half of the time that took lies before. */
function offsetIn(record: Evidence): readonly Offset[] {
  if (record.about !== 'target' || record.outcome !== 'answered' || record.value === null) return [];
  const asked = Date.parse(record.at) + record.tookMs / 2;
  const at = (text: string, source: Offset['source']): readonly Offset[] => {
    const ms = Date.parse(text) - asked;
    return Number.isNaN(ms) ? [] : [{ ms, source }];
  };
  if (record.source === 'ipp') {
    const [time] = record.value.attributes?.['printer-current-time'] ?? [];
    return typeof time?.value === 'string' ? at(time.value, 'printer-current-time') : [];
  }
  if (record.source !== 'snmp' || record.what !== 'hrSystem' || record.value.kind !== 'table') return [];
  const date = record.value.rows?.['0']?.hrSystemDate;
  const text = typeof date === 'object' && 'hex' in date ? dateAndTime(date.hex) : undefined;
  return text === undefined ? [] : at(text, 'hrSystemDate');
}

/** DateAndTime (RFC 2579) with its offset from UTC, 11 octets; without one nobody knows which hour it means. */
function dateAndTime(hex: string): string | undefined {
  const octets = Buffer.from(hex, 'hex');
  if (octets.length !== 11) return undefined;
  const two = (at: number): string => String(octets[at] ?? 0).padStart(2, '0');
  const year = String(octets.readUInt16BE(0)).padStart(4, '0');
  return `${year}-${two(2)}-${two(3)}T${two(4)}:${two(5)}:${two(6)}${String.fromCharCode(octets[8] ?? 0)}${two(9)}:${two(10)}`;
}
