/**
 * hrPrinterDetectedErrorState (RFC 2790 section 6): a bit string of none, one or two octets; bit 0 is the top bit of
 * the first octet. Some agents number the bits of an octet from the low end. The octets alone can't tell which, so the
 * other order is taken only when other evidence names every bit of it and no bit of the standard order.
 */
import type { Buffer } from 'node:buffer';
import { Buffer as Octets } from 'node:buffer';
import type { SnmpValue } from '../../model/evidence.js';
import { ERROR_STATE_BITS } from '../../registry/enums.generated.js';
import type { Note } from './levels.js';
import { octetsOf } from './text.js';

export type BitOrder = 'most-significant-first' | 'least-significant-first';

/** Numbers of the bits that are set, in ascending order. */
export function setBits(octets: Uint8Array, order: BitOrder): readonly number[] {
  const bits: number[] = [];
  octets.forEach((octet, at) => {
    for (let place = 0; place < 8; place += 1) {
      const mask = order === 'most-significant-first' ? 0x80 >> place : 1 << place;
      if ((octet & mask) !== 0) bits.push(at * 8 + place);
    }
  });
  return bits;
}

function octetsOfState(value: SnmpValue, note: Note): Buffer | null {
  if (typeof value !== 'number') return octetsOf(value);
  note(`hrPrinterDetectedErrorState came as the integer ${value}; read as its octets.`);
  if (!Number.isInteger(value) || value < 0 || value > 0xffff) return null;
  return Octets.from(value > 0xff ? [value >> 8, value & 0xff] : [value]);
}

const named = (bits: readonly number[]): readonly string[] =>
  bits.flatMap((bit) => (ERROR_STATE_BITS[bit] === undefined ? [] : [ERROR_STATE_BITS[bit]]));

/**
 * Names of the bits that are set. `witnessed` holds the bit names that alerts, covers and other sources speak for.
 * Null when the object is absent; no bits for an empty string.
 */
export function readErrorBits(
  value: SnmpValue | undefined,
  witnessed: ReadonlySet<string>,
  note: Note,
): readonly string[] | null {
  const octets = value === undefined ? null : octetsOfState(value, note);
  if (octets === null) return null;
  if (octets.length > 2 && octets.subarray(2).some((octet) => octet !== 0))
    note(`hrPrinterDetectedErrorState has ${octets.length} octets; the first two are read.`);
  const two = octets.subarray(0, 2);
  const standard = setBits(two, 'most-significant-first');
  const swapped = setBits(two, 'least-significant-first');
  const hex = two.toString('hex');
  if (prefersSwapped(named(standard), named(swapped), witnessed)) {
    note(
      `hrPrinterDetectedErrorState ${hex} fits the other evidence only with the lowest bit first (RFC 2790 puts the highest first); read as ${named(swapped).join(', ')}.`,
    );
    return named(swapped);
  }
  if (standard.includes(15))
    note(`hrPrinterDetectedErrorState ${hex} sets bit 15, which RFC 2790 leaves open; left out.`);
  return named(standard);
}

function prefersSwapped(
  standard: readonly string[],
  swapped: readonly string[],
  witnessed: ReadonlySet<string>,
): boolean {
  if (swapped.length === 0 || standard.join() === swapped.join()) return false;
  return swapped.every((bit) => witnessed.has(bit)) && !standard.some((bit) => witnessed.has(bit));
}
