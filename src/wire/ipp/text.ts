import type { Buffer } from 'node:buffer';
import iconv from 'iconv-lite';
import type { DeviationLog } from './deviations.js';

/** How the text of one message is read: UTF-8 unless its attributes-charset says otherwise (RFC 8010 3.4). */
export interface TextReading {
  readonly charset: string;
  readonly log: DeviationLog;
}

const UTF8 = 'utf-8';
const strictUtf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** Octets of a text, name, keyword or URI as a string. Control characters stay; trailing NULs go. */
export function readText(octets: Buffer, attribute: string, reading: TextReading): string {
  const trimmed = withoutTrailingNuls(octets);
  if (trimmed.length < octets.length) reading.log.add('text-nul', attribute);
  if (reading.charset !== UTF8) return iconv.decode(trimmed, reading.charset);
  try {
    return strictUtf8.decode(trimmed);
  } catch {
    reading.log.add('text-not-utf8', attribute);
    return trimmed.toString('latin1');
  }
}

/** Which character set a message's attributes-charset value comes to. US-ASCII is a part of UTF-8. */
export function charsetOf(value: string, log: DeviationLog): string {
  const name = value.trim().toLowerCase();
  if (name === UTF8 || name === 'utf8' || name === 'us-ascii' || name === '') return UTF8;
  if (!iconv.encodingExists(name)) {
    log.add('charset-unknown', value);
    return UTF8;
  }
  log.add('charset-other', value);
  return name;
}

function withoutTrailingNuls(octets: Buffer): Buffer {
  let end = octets.length;
  while (end > 0 && octets[end - 1] === 0) end -= 1;
  return octets.subarray(0, end);
}
