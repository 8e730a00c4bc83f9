/** Hides what stands in octets: text in whichever encoding it came, and addresses as they are. */
import { decodeOctets } from '../facts/printer/text.js';
import { octetsOfAddress } from './addresses.js';
import type { TextRedactor } from './text.js';

/** Engine ids of RFC 3411 that hold an IPv4 address end in it, after the octet 1. */
const ENGINE_ID = /^[\x80-\xff][\s\S]{3}\x01([\s\S]{4})$/;

/**
 * Octets, one character each, with known addresses replaced and, where they are text, all that text hides. A hardware address that
 * nothing else tells of is known only where its field says so.
 */
export function redactedOctets(octets: string, redactor: TextRedactor): string {
  const text = textOf(octets);
  if (text !== undefined) {
    const hidden = redactor.text(text);
    if (hidden !== text) return Buffer.from(hidden, 'utf8').toString('latin1');
  }
  return withoutAddresses(octets, redactor);
}

/** The text that octets are; undefined when they hold control characters and so are none. */
export function textOf(octets: string): string | undefined {
  if (octets.length < 2) return undefined;
  const text = decodeOctets(Buffer.from(octets, 'latin1'), null);
  const plain = octets.replaceAll('\0', '');
  return /[\x01-\x08\x0e-\x1f\x7f]/.test(plain) || plain === '' ? undefined : text;
}

/** `anywhere`: four octets are an address wherever they stand, as among the numbers of an instance. */
function withoutAddresses(octets: string, redactor: TextRedactor, anywhere = false): string {
  if (octets.length < 4) return octets;
  let changed = octets;
  for (const { kind, value, own } of redactor.addresses()) {
    if (!changed.includes(own)) continue;
    const whole = kind !== 'ipv4' || anywhere || changed === own || ENGINE_ID.exec(changed)?.[1] === own;
    if (whole) changed = changed.replaceAll(own, () => octetsOfAddress(kind, redactor.standIns.of(kind, value)));
  }
  return changed;
}

export function redactedHex(hex: string, redactor: TextRedactor): string {
  if (!/^(?:[0-9a-f]{2})*$/i.test(hex)) return redactor.text(hex);
  const octets = Buffer.from(hex, 'hex').toString('latin1');
  const hidden = redactedOctets(octets, redactor);
  return hidden === octets ? hex : Buffer.from(hidden, 'latin1').toString('hex');
}

/**
 * Numbers with dots between: an object identifier, the instance of a row. Addresses and names are octets in them, one number each
 * (RFC 2578 section 7.7).
 */
export function redactedNumbers(numbers: string, redactor: TextRedactor): string {
  const all = numbers.split('.');
  const parts: string[] = [];
  for (let at = 0; at < all.length; ) {
    let end = at;
    while (end < all.length && Number(all[end]) < 256) end += 1;
    parts.push(...hiddenRun(all.slice(at, end), redactor));
    if (end < all.length) parts.push(all[end] ?? '');
    at = end + 1;
  }
  return parts.join('.');
}

function hiddenRun(run: readonly string[], redactor: TextRedactor): readonly string[] {
  if (run.length < 4) return run;
  const octets = String.fromCharCode(...run.map(Number));
  const hidden = redactor.text(withoutAddresses(octets, redactor, true));
  return hidden === octets ? run : [...Buffer.from(hidden, 'latin1')].map(String);
}
