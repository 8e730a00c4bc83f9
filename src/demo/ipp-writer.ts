/** Writes IPP messages (RFC 8010 section 3) attribute by attribute, every tag as it is asked for. */
import { STATUS_NAMES, VALUE_TAG_NAMES } from '../registry/ipp.generated.js';
import { numberOf } from './snmp-objects.js';

/** Delimiter tags (RFC 8010 3.5.1). */
export const GROUP = { operation: 1, job: 2, end: 3, printer: 4, unsupported: 5 } as const;

/** Value tags (RFC 8010 3.5.2) by their names in the registry, with the short forms that people write. */
const TAGS: Readonly<Record<string, number>> = {
  ...Object.fromEntries(Object.entries(VALUE_TAG_NAMES).map(([tag, name]) => [name, Number(tag)])),
  text: 0x41,
  name: 0x42,
  collection: 0x34,
  unsupported: 0x10,
  unknown: 0x12,
  'no-value': 0x13,
};

export type IppRaw =
  | number
  | boolean
  | string
  | Buffer
  | { readonly lower: number; readonly upper: number }
  | { readonly x: number; readonly y: number; readonly units: 'dpi' | 'dpcm' }
  | { readonly language: string; readonly text: string }
  | readonly IppItem[];

/** One attribute: name, tag by its name, values. An out-of-band attribute has none. */
export interface IppItem {
  readonly name: string;
  readonly tag: string;
  readonly values: readonly IppRaw[];
}

/** An attribute in one line. */
export function item(name: string, tag: string, ...values: readonly IppRaw[]): IppItem {
  return { name, tag, values };
}

export interface IppGroup {
  readonly tag: number;
  readonly items: readonly IppItem[];
}

/** A whole reply. `version` is `2.0`, `status` a keyword of the registry. */
export function writeReply(reply: {
  readonly version: string;
  readonly status: string;
  readonly requestId: number;
  readonly groups: readonly IppGroup[];
}): Buffer {
  const [major = 2, minor = 0] = reply.version.split('.').map(Number);
  const head = Buffer.alloc(8);
  head.writeUInt8(major, 0);
  head.writeUInt8(minor, 1);
  head.writeUInt16BE(numberOf(STATUS_NAMES, reply.status, 'IPP status'), 2);
  head.writeInt32BE(reply.requestId | 0, 4);
  const groups = reply.groups.flatMap((group) => [Buffer.from([group.tag]), ...group.items.map(writeItem)]);
  return Buffer.concat([head, ...groups, Buffer.from([GROUP.end])]);
}

/** One attribute with all its values (RFC 8010 3.1.4 and 3.1.5: the further values have an empty name). */
export function writeItem(attribute: IppItem): Buffer {
  const tag = TAGS[attribute.tag];
  if (tag === undefined) throw new Error(`no IPP value tag is called ${attribute.tag}`);
  if (tag < 0x20) return field(tag, attribute.name, Buffer.alloc(0));
  return Buffer.concat(
    attribute.values.map((value, position) => writeValue(tag, position === 0 ? attribute.name : '', value)),
  );
}

function field(tag: number, name: string, value: Buffer): Buffer {
  const nameOctets = Buffer.from(name, 'utf8');
  const out = Buffer.alloc(5 + nameOctets.length);
  out.writeUInt8(tag, 0);
  out.writeUInt16BE(nameOctets.length, 1);
  nameOctets.copy(out, 3);
  out.writeUInt16BE(value.length, 3 + nameOctets.length);
  return Buffer.concat([out, value]);
}

function writeValue(tag: number, name: string, value: IppRaw): Buffer {
  if (!Array.isArray(value)) return field(tag, name, valueOctets(tag, value as Exclude<IppRaw, readonly IppItem[]>));
  // RFC 8010 3.1.6: a collection is its begin, each member's name as a value, the members' values, and its end.
  const members = (value as readonly IppItem[]).flatMap((member) => [
    field(0x4a, '', Buffer.from(member.name, 'utf8')),
    writeItem({ ...member, name: '' }),
  ]);
  return Buffer.concat([field(tag, name, Buffer.alloc(0)), ...members, field(0x37, '', Buffer.alloc(0))]);
}

function valueOctets(tag: number, value: Exclude<IppRaw, readonly IppItem[]>): Buffer {
  if (Buffer.isBuffer(value)) return value;
  if (typeof value === 'boolean') return Buffer.from([value ? 1 : 0]);
  if (typeof value === 'number') return int32(value);
  if (typeof value === 'string') return tag === 0x31 ? dateOctets(value) : Buffer.from(value, 'utf8');
  if ('lower' in value) return Buffer.concat([int32(value.lower), int32(value.upper)]);
  if ('x' in value)
    return Buffer.concat([int32(value.x), int32(value.y), Buffer.from([value.units === 'dpi' ? 3 : 4])]);
  return Buffer.concat([value.language, value.text].flatMap(counted));
}

function int32(value: number): Buffer {
  const octets = Buffer.alloc(4);
  octets.writeInt32BE(value);
  return octets;
}

function counted(text: string): Buffer[] {
  const octets = Buffer.from(text, 'utf8');
  return [Buffer.from([octets.length >> 8, octets.length & 0xff]), octets];
}

/** DateAndTime of RFC 2579 from an ISO 8601 time, in UTC. */
function dateOctets(iso: string): Buffer {
  const at = new Date(iso);
  const year = at.getUTCFullYear();
  const rest = [at.getUTCMonth() + 1, at.getUTCDate(), at.getUTCHours(), at.getUTCMinutes(), at.getUTCSeconds(), 0];
  return Buffer.from([year >> 8, year & 0xff, ...rest, '+'.charCodeAt(0), 0, 0]);
}
