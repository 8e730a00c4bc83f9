import type { Buffer } from 'node:buffer';
import { ByteCursor } from '../cursor.js';
import { Assembly, type Part } from './assembly.js';
import { DeviationLog } from './deviations.js';
import type { IppDecoded } from './message.js';

/** What one message may hold at most. Real replies stay far below: a rich printer says about 3,000 values in 100 kB. */
export interface DecodeLimits {
  readonly maxBytes: number;
  /** Values, collection parts and groups together. */
  readonly maxValues: number;
  /** Collections inside collections. */
  readonly maxDepth: number;
}
export const DECODE_LIMITS: DecodeLimits = { maxBytes: 8 * 1024 * 1024, maxValues: 50_000, maxDepth: 16 };

const END_OF_ATTRIBUTES = 0x03;
/** Tags below this one begin a group, those from here on a value (RFC 8010 3.5). */
const FIRST_VALUE_TAG = 0x10;
const HEADER_OCTETS = 8;
const KNOWN_MAJOR = [1, 2];

/**
 * Decodes a request or a reply (RFC 8010 3.1). It never throws and never reads past the end:
 *
 *     version (2) · operation or status (2) · request-id (4) · { group tag (1) · { attribute } } · end tag 03 · data
 *     attribute: value tag (1) · name length (2) · name · value length (2) · value; a further value has no name
 *
 * What breaks the standard is read as well as can be and named in `deviations` and `problems`.
 */
export function decodeIpp(octets: Uint8Array, limits: DecodeLimits = DECODE_LIMITS): IppDecoded {
  const log = new DeviationLog();
  if (octets.length > limits.maxBytes) log.add('message-too-large', String(limits.maxBytes));
  const cursor = new ByteCursor(octets.subarray(0, limits.maxBytes));
  const header = readHeader(cursor, log);
  if (header === undefined) return { message: null, problems: log.sentences() };
  const assembly = new Assembly({ charset: 'utf-8', log }, limits.maxDepth);
  const dataOffset = readGroups(cursor, assembly, limits, log);
  const groups = assembly.finished();
  const problems = log.sentences();
  return { message: { ...header, groups, dataOffset, deviations: log.names(), problems }, problems };
}

function readHeader(cursor: ByteCursor, log: DeviationLog) {
  if (cursor.remaining < HEADER_OCTETS) {
    log.add('header-short');
    return undefined;
  }
  const [major = 0, minor = 0, code = 0, requestId = 0] = [cursor.u8(), cursor.u8(), cursor.u16(), cursor.u32()];
  const version = `${major}.${minor}`;
  // The first octet of HTML, PJL or text is far above any version number there is.
  if (major === 0 || major > 9) {
    log.add('version-unknown', version);
    return undefined;
  }
  if (!KNOWN_MAJOR.includes(major)) log.add('version-new', version);
  return { version, code, requestId };
}

/** Reads up to the end tag; gives the place after it, or null when the octets ended before. */
function readGroups(cursor: ByteCursor, assembly: Assembly, limits: DecodeLimits, log: DeviationLog): number | null {
  for (let count = 0; count < limits.maxValues; count += 1) {
    const tag = cursor.u8();
    if (tag === undefined) {
      log.add('end-tag-missing');
      return null;
    }
    if (tag === END_OF_ATTRIBUTES) return cursor.offset;
    if (tag < FIRST_VALUE_TAG) {
      assembly.group(tag);
      continue;
    }
    const part = readPart(tag, cursor);
    if (part === undefined) {
      log.add('message-cut', assembly.at);
      return null;
    }
    assembly.part(part);
  }
  log.add('too-many-values', String(limits.maxValues));
  return null;
}

function readPart(tag: number, cursor: ByteCursor): Part | undefined {
  const name = readCounted(cursor);
  const value = name === undefined ? undefined : readCounted(cursor);
  return name === undefined || value === undefined ? undefined : { tag, name, value };
}

/** An unsigned 16-bit length and that many octets. RFC 8010 calls the length signed; above 32,767 it is only large. */
function readCounted(cursor: ByteCursor): Buffer | undefined {
  const length = cursor.u16();
  return length === undefined ? undefined : cursor.take(length);
}
