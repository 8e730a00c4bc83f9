import type { Buffer } from 'node:buffer';
import type { IppValue } from '../../model/evidence.js';
import { OUT_OF_BAND_TAG_NAMES, VALUE_TAG_NAMES } from '../../registry/ipp.generated.js';
import { readDateTime } from './date-time.js';
import { readText, type TextReading } from './text.js';

/** Octets of one value → what it says (RFC 8010 3.9). `at` names the attribute in problems. */
type ValueReader = (octets: Buffer, at: string, reading: TextReading) => IppValue['value'];

/** Tag of a value whose real tag is the first four octets of the value (RFC 8010 3.5.2). */
const EXTENSION_TAG = 0x7f;
/** RFC 8010 3.5.2: 3 is dots per inch, 4 dots per centimetre. */
const RESOLUTION_UNITS: Readonly<Record<number, string>> = { 3: 'dpi', 4: 'dpcm' };

const readInteger: ValueReader = (octets, at, { log }) => {
  if (octets.length === 4) return octets.readInt32BE(0);
  if (octets.length === 0) {
    log.add('value-empty', at);
    return null;
  }
  if (octets.length > 4) return unreadable(octets, at, 'value-length', log);
  log.add('integer-length', at);
  return octets.readIntBE(0, octets.length);
};

const readBoolean: ValueReader = (octets, at, { log }) => {
  if (octets.length === 0) {
    log.add('value-empty', at);
    return null;
  }
  if (octets.length > 4) return unreadable(octets, at, 'value-length', log);
  if (octets.length !== 1) log.add('boolean-length', at);
  else if ((octets[0] ?? 0) > 1) log.add('boolean-value', at);
  return octets.some((octet) => octet !== 0);
};

const readDate: ValueReader = (octets, at, { log }) => {
  if (octets.length !== 11) return unreadable(octets, at, 'value-length', log);
  return readDateTime(octets) ?? unreadable(octets, at, 'date-impossible', log);
};

const readResolution: ValueReader = (octets, at, { log }) => {
  if (octets.length !== 9) return unreadable(octets, at, 'value-length', log);
  const unit = octets.readUInt8(8);
  const units = RESOLUTION_UNITS[unit];
  if (units === undefined) log.add('resolution-unit', at);
  return { x: octets.readInt32BE(0), y: octets.readInt32BE(4), units: units ?? hexNumber(unit, 2) };
};

const readRange: ValueReader = (octets, at, { log }) => {
  if (octets.length !== 8) return unreadable(octets, at, 'value-length', log);
  const range = { lower: octets.readInt32BE(0), upper: octets.readInt32BE(4) };
  if (range.lower > range.upper) log.add('range-reversed', at);
  return range;
};

/** Two length-counted parts: language, then text (RFC 8010 3.9). */
const readWithLanguage: ValueReader = (octets, at, reading) => {
  const languageLength = octets.length >= 2 ? octets.readUInt16BE(0) : 0;
  const textStart = 4 + languageLength;
  if (octets.length < textStart || octets.readUInt16BE(textStart - 2) !== octets.length - textStart) {
    return unreadable(octets, at, 'language-lengths', reading.log);
  }
  return {
    language: readText(octets.subarray(2, textStart - 2), at, reading),
    text: readText(octets.subarray(textStart), at, reading),
  };
};

const READERS: Readonly<Record<string, ValueReader>> = {
  integer: readInteger,
  enum: readInteger,
  boolean: readBoolean,
  dateTime: readDate,
  resolution: readResolution,
  rangeOfInteger: readRange,
  octetString: (octets) => ({ hex: octets.toString('hex') }),
  textWithLanguage: readWithLanguage,
  nameWithLanguage: readWithLanguage,
  textWithoutLanguage: readText,
  nameWithoutLanguage: readText,
  keyword: readText,
  uri: readText,
  uriScheme: readText,
  charset: readText,
  naturalLanguage: readText,
  mimeMediaType: readText,
};

/** One value that is no collection. The tag goes with it, so that nothing has to be guessed later. */
export function readValue(tag: number, octets: Buffer, at: string, reading: TextReading): IppValue {
  const outOfBand = OUT_OF_BAND_TAG_NAMES[tag];
  if (outOfBand !== undefined) {
    if (octets.length > 0) reading.log.add('out-of-band-filled', at);
    return { tag: outOfBand, value: null };
  }
  if (tag === EXTENSION_TAG) return readExtension(octets, at, reading);
  const name = VALUE_TAG_NAMES[tag];
  const reader = name === undefined ? undefined : READERS[name];
  if (name !== undefined && reader !== undefined) return { tag: name, value: reader(octets, at, reading) };
  reading.log.add('tag-unknown', at);
  return { tag: hexNumber(tag, 2), value: { hex: octets.toString('hex') } };
}

function readExtension(octets: Buffer, at: string, reading: TextReading): IppValue {
  if (octets.length < 4) {
    reading.log.add('extension-tag-short', at);
    return { tag: hexNumber(EXTENSION_TAG, 2), value: { hex: octets.toString('hex') } };
  }
  return { tag: hexNumber(octets.readUInt32BE(0), 8), value: { hex: octets.subarray(4).toString('hex') } };
}

function unreadable(
  octets: Buffer,
  at: string,
  why: 'value-length' | 'date-impossible' | 'language-lengths',
  log: TextReading['log'],
): { hex: string } {
  log.add(why, at);
  return { hex: octets.toString('hex') };
}

/** `0x` and at least `digits` digits. */
export function hexNumber(value: number, digits: number): string {
  return `0x${value.toString(16).padStart(digits, '0')}`;
}
