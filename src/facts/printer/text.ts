/**
 * Octets of a printer to text. The character set that the printer names (prtLocalizationCharacterSet, RFC 3805 2.2.14)
 * is often wrong, so the octets have the first word: valid UTF-8 wins, then the named set, then Latin-1.
 */
import { Buffer } from 'node:buffer';
import iconv from 'iconv-lite';
import type { SnmpValue } from '../../model/evidence.js';
import { CHARACTER_SETS } from '../../registry/enums.generated.js';
import { cleanText } from './clean-text.js';

/** iconv-lite's name where it differs from IANA's. */
const OWN_NAMES: Readonly<Record<string, string>> = { 'ISO-10646-UCS-2': 'UTF-16BE', 'US-ASCII': 'ISO-8859-1' };
/** Sets whose name says nothing about octets above 127 that are no UTF-8. */
const WEAK_NAMES: ReadonlySet<string> = new Set(['US-ASCII', 'ISO-8859-1', 'UTF-8']);

/** Name of an IANACharset number; null when it is not known here. */
export function characterSetName(number: number | null): string | null {
  return number === null ? null : (CHARACTER_SETS[number] ?? null);
}

/** Octets of `{ hex }` or of a string of octets; null for another kind of value. */
export function octetsOf(value: SnmpValue | undefined): Buffer | null {
  if (typeof value === 'string') return Buffer.from(value, 'utf8');
  if (typeof value === 'object' && value !== null && 'hex' in value && typeof value.hex === 'string')
    return Buffer.from(value.hex.replace(/[^0-9a-f]/gi, ''), 'hex');
  return null;
}

function validUtf8(octets: Buffer): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(octets);
  } catch {
    return null;
  }
}

function decodeAs(octets: Buffer, name: string): string | null {
  const own = OWN_NAMES[name] ?? name;
  if (!iconv.encodingExists(own)) return null;
  const text = iconv.decode(octets, own);
  return text.includes('\ufffd') ? null : text;
}

/** UTF-16 shows by its mark, or by every other octet being zero, as it is for Latin letters. */
function sniffUtf16(octets: Buffer): 'UTF-16BE' | 'UTF-16LE' | null {
  if (octets.length < 2 || octets.length % 2 !== 0) return null;
  if (octets[0] === 0xfe && octets[1] === 0xff) return 'UTF-16BE';
  if (octets[0] === 0xff && octets[1] === 0xfe) return 'UTF-16LE';
  const units = octets.length / 2;
  let even = 0;
  let odd = 0;
  for (let at = 0; at < octets.length; at += 2) {
    if (octets[at] === 0) even += 1;
    if (octets[at + 1] === 0) odd += 1;
  }
  if (even === units && odd < units) return 'UTF-16BE';
  if (odd === units && even < units) return 'UTF-16LE';
  return null;
}

/** Second octet of a pair; stands in for one that was cut off. */
const LEAST_TRAIL = 0x40;

/**
 * Shift_JIS under another name: all octets form its pairs, and at least two pairs that begin in 81..9F follow each
 * other. Those octets are control codes in Latin-1, so honest Latin-1 never looks like this.
 */
function looksLikeShiftJis(octets: Buffer): boolean {
  let run = 0;
  let longest = 0;
  for (let at = 0; at < octets.length; at += 1) {
    const lead = octets[at] ?? 0;
    if (lead < 0x80 || (lead >= 0xa1 && lead <= 0xdf)) {
      run = 0;
      continue;
    }
    const trail = octets[at + 1] ?? LEAST_TRAIL;
    if (lead === 0x80 || lead === 0xa0 || lead > 0xfc || trail < LEAST_TRAIL || trail === 0x7f || trail > 0xfc)
      return false;
    run = lead <= 0x9f ? run + 1 : run;
    longest = Math.max(longest, run);
    at += 1;
  }
  return longest >= 2;
}

/**
 * Fields have a length, and devices cut text to it in the middle of a character: up to `most` last octets may be left out. Only where
 * a whole character of more than ASCII stands before, or else Latin-1's "Café" would lose its end.
 */
function readCut(octets: Buffer, most: number, read: (octets: Buffer) => string | null): string | null {
  const whole = read(octets);
  if (whole !== null) return whole;
  for (let cut = 1; cut <= most && cut < octets.length && (octets.at(-cut) ?? 0) >= 0x80; cut += 1) {
    const text = read(octets.subarray(0, octets.length - cut));
    if (text !== null && /[^\x00-\x7f]/.test(text)) return text;
  }
  return null;
}

function trimEndNuls(octets: Buffer): Buffer {
  let end = octets.length;
  while (end > 0 && octets[end - 1] === 0) end -= 1;
  return octets.subarray(0, end);
}

/** Decodes octets by what they look like, then by the character set named, then as Latin-1. */
export function decodeOctets(octets: Buffer, named: string | null): string {
  const wide = sniffUtf16(octets);
  if (wide !== null) return cleanText(iconv.decode(octets, wide));
  const body = trimEndNuls(octets);
  const utf8 = readCut(body, 3, validUtf8);
  if (utf8 !== null) return cleanText(utf8);
  const narrow = named?.startsWith('UTF-16') === true || named === 'ISO-10646-UCS-2' ? octets : body;
  const byName =
    named === null || WEAK_NAMES.has(named) ? null : readCut(narrow, 1, (octets) => decodeAs(octets, named));
  if (byName !== null) return cleanText(byName);
  if (looksLikeShiftJis(body)) {
    const japanese = readCut(body, 1, (octets) => decodeAs(octets, 'Windows-31J'));
    if (japanese !== null) return cleanText(japanese);
  }
  return cleanText(iconv.decode(body, 'ISO-8859-1'));
}

/** Reads an octet string of one printer, in that printer's character set; null when empty or no octet string. */
export type TextReader = (value: SnmpValue | undefined) => string | null;

export function textReader(named: string | null): TextReader {
  return (value) => {
    const octets = octetsOf(value);
    if (octets === null) return null;
    const text = decodeOctets(octets, named);
    return text === '' ? null : text;
  };
}
