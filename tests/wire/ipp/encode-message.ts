import { Buffer } from 'node:buffer';
import type { IppAttributes, IppValue } from '../../../src/model/evidence.js';
import { GROUP_TAG_NAMES, OUT_OF_BAND_TAG_NAMES, VALUE_TAG_NAMES } from '../../../src/registry/ipp.generated.js';
import type { IppGroup } from '../../../src/wire/ipp/message.js';

/** What a message says; `code` is an operation or a status. */
export interface EncodableMessage {
  readonly version: string;
  readonly code: number;
  readonly requestId: number;
  readonly groups: readonly IppGroup[];
}

const END_OF_ATTRIBUTES = 0x03;
const EXTENSION_TAG = 0x7f;
const BEG_COLLECTION = 0x34;
const END_COLLECTION = 0x37;
const MEMBER_NAME = 0x4a;

/**
 * Octets of any message, as a printer or a queue sends it (RFC 8010 3.1), for checking the decoder against its reverse.
 * Throws a RangeError for a tag that has no number or a value too long for its length field.
 */
export function encodeMessage(message: EncodableMessage): Buffer {
  const [major = 2, minor = 0] = message.version.split('.').map(Number);
  const header = Buffer.alloc(8);
  header.writeUInt8(major, 0);
  header.writeUInt8(minor, 1);
  header.writeUInt16BE(message.code, 2);
  header.writeUInt32BE(message.requestId, 4);
  const groups = message.groups.flatMap((group) => [
    Buffer.from([tagNumber(group.tag, GROUP_NUMBERS)]),
    ...encodeAttributes(group.attributes),
  ]);
  return Buffer.concat([header, ...groups, Buffer.from([END_OF_ATTRIBUTES])]);
}

function encodeAttributes(attributes: IppAttributes): Buffer[] {
  return Object.entries(attributes).flatMap(([name, values]) =>
    values.flatMap((value, index) => encodeValue(index === 0 ? name : '', value)),
  );
}

function encodeValue(name: string, value: IppValue): Buffer[] {
  if (isCollection(value.value)) return encodeCollection(name, value.value.members);
  const tag = tagNumber(value.tag, VALUE_NUMBERS);
  const octets = valueOctets(value);
  if (tag <= 0xff) return [part(tag, name, octets)];
  const real = Buffer.alloc(4);
  real.writeUInt32BE(tag);
  return [part(EXTENSION_TAG, name, Buffer.concat([real, octets]))];
}

/** RFC 8010 3.1.6 and 3.1.7: member names are values of their own kind, the members follow without a name. */
function encodeCollection(name: string, members: IppAttributes): Buffer[] {
  const inner = Object.entries(members).flatMap(([member, values]) => [
    part(MEMBER_NAME, '', Buffer.from(member)),
    ...values.flatMap((value) => encodeValue('', value)),
  ]);
  return [part(BEG_COLLECTION, name, Buffer.alloc(0)), ...inner, part(END_COLLECTION, '', Buffer.alloc(0))];
}

function part(tag: number, name: string, value: Buffer): Buffer {
  return Buffer.concat([Buffer.from([tag]), counted(Buffer.from(name)), counted(value)]);
}

function counted(octets: Buffer): Buffer {
  const length = Buffer.alloc(2);
  length.writeUInt16BE(octets.length);
  return Buffer.concat([length, octets]);
}

function valueOctets({ tag, value }: IppValue): Buffer {
  if (value === null) return Buffer.alloc(0);
  if (typeof value === 'boolean') return Buffer.from([value ? 1 : 0]);
  if (typeof value === 'number') return int32(value);
  if (typeof value === 'string') return tag === 'dateTime' ? dateOctets(value) : Buffer.from(value);
  if ('hex' in value) return Buffer.from(value.hex, 'hex');
  if ('lower' in value) return Buffer.concat([int32(value.lower), int32(value.upper)]);
  if ('x' in value) return Buffer.concat([int32(value.x), int32(value.y), Buffer.from([unitNumber(value.units)])]);
  if ('text' in value) return Buffer.concat([counted(Buffer.from(value.language)), counted(Buffer.from(value.text))]);
  return Buffer.alloc(0);
}

function int32(value: number): Buffer {
  const octets = Buffer.alloc(4);
  octets.writeInt32BE(value);
  return octets;
}

function unitNumber(units: string): number {
  if (units === 'dpi') return 3;
  return units === 'dpcm' ? 4 : Number(units) & 0xff;
}

const ISO_DATE = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d)(?:\.(\d)\d*)?(?:Z|([+-])(\d\d):(\d\d))$/;

/** RFC 2579 DateAndTime, eleven octets. */
function dateOctets(text: string): Buffer {
  const parts = ISO_DATE.exec(text);
  if (parts === null) throw new RangeError(`"${text}" is no date with an offset`);
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, deci = 0] = parts
    .slice(1, 8)
    .map((digits) => Number(digits ?? 0));
  const direction = (parts[8] ?? '+').charCodeAt(0);
  const offset = [Number(parts[9] ?? 0), Number(parts[10] ?? 0)];
  return Buffer.from([year >> 8, year & 0xff, month, day, hour, minute, second, deci, direction, ...offset]);
}

function isCollection(value: IppValue['value']): value is { readonly members: IppAttributes } {
  return typeof value === 'object' && value !== null && 'members' in value;
}

const GROUP_NUMBERS = byName(GROUP_TAG_NAMES);
const VALUE_NUMBERS = new Map([...byName(VALUE_TAG_NAMES), ...byName(OUT_OF_BAND_TAG_NAMES)]);

function byName(names: Readonly<Record<number, string>>): ReadonlyMap<string, number> {
  return new Map(Object.entries(names).map(([number, name]) => [name, Number(number)]));
}

function tagNumber(tag: string, numbers: ReadonlyMap<string, number>): number {
  const number = numbers.get(tag) ?? (tag.startsWith('0x') ? Number(tag) : Number.NaN);
  if (!Number.isInteger(number)) throw new RangeError(`"${tag}" is no tag of IPP`);
  return number;
}
