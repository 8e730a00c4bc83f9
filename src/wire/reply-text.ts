import { Buffer } from 'node:buffer';

/** C0 and C1 codes but tab, line feed, form feed and carriage return; the marks that reorder what is displayed. */
const ACTING = /[\u0000-\u0008\u000b\u000e-\u001f\u007f-\u009f\ufeff\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

const strictUtf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/**
 * Octets of a text reply whose protocol states no character set (RFC 1179, PJL) as a string: UTF-8 where they are valid
 * UTF-8, else ISO 8859-1, which takes any octets. Control characters are dropped, but for tabs, line ends and form feeds.
 */
export function replyText(octets: Uint8Array): string {
  return decoded(octets).replace(ACTING, '');
}

function decoded(octets: Uint8Array): string {
  try {
    return strictUtf8.decode(octets);
  } catch {
    return Buffer.from(octets.buffer, octets.byteOffset, octets.byteLength).toString('latin1');
  }
}

/** More than this share of octets that text does not hold, and it is none. */
const MOST_NOISE = 0.1;

/** True when octets can be meant as text: something to read, and hardly a control character. */
export function isText(octets: Uint8Array): boolean {
  const raw = decoded(octets);
  const noise = raw.match(ACTING)?.length ?? 0;
  return raw.trim() !== '' && noise <= raw.length * MOST_NOISE;
}
