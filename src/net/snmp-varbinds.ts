import { Buffer } from 'node:buffer';
import type { RawVarbind } from './net.js';

/** What the library makes of a binding. */
export interface LibraryVarbind {
  readonly oid: string;
  readonly type?: number;
  readonly value?: unknown;
}

/** ASN.1 type names by tag (RFC 2578, RFC 3416). */
const TYPES: Readonly<Record<number, string>> = {
  1: 'Boolean',
  2: 'Integer',
  3: 'BitString',
  4: 'OctetString',
  5: 'Null',
  6: 'ObjectIdentifier',
  64: 'IpAddress',
  65: 'Counter32',
  66: 'Gauge32',
  67: 'TimeTicks',
  68: 'Opaque',
  70: 'Counter64',
  128: 'NoSuchObject',
  129: 'NoSuchInstance',
  130: 'EndOfMibView',
};

/** Counter64 in up to nine octets, the first of nine being zero. */
function unsigned64(octets: Buffer): bigint {
  return BigInt.asUintN(64, octets.length === 0 ? 0n : BigInt(`0x${octets.toString('hex')}`));
}

function plainValue(type: string, value: unknown): RawVarbind['value'] {
  if (Buffer.isBuffer(value)) return type === 'Counter64' ? unsigned64(value.subarray(0, 9)) : value;
  if (typeof value === 'boolean') return value ? 1 : 0;
  return typeof value === 'number' || typeof value === 'string' ? value : null;
}

export function rawVarbind(binding: LibraryVarbind): RawVarbind {
  const type = TYPES[binding.type ?? 5] ?? `type ${binding.type}`;
  return { oid: binding.oid, type, value: plainValue(type, binding.value) };
}

/** The bindings of a GET's reply that were asked for, and what else there was to say. */
export function matched(
  asked: readonly string[],
  got: readonly RawVarbind[],
): { readonly varbinds: readonly RawVarbind[]; readonly problems: readonly string[] } {
  const wanted = new Set(asked);
  const varbinds = got.filter((binding) => wanted.delete(binding.oid));
  const problems: string[] = [];
  const wrong = got.length - varbinds.length;
  if (wrong > 0) problems.push(`${wrong} of ${got.length} values were for objects that were not asked for: left out`);
  else if (varbinds.length < asked.length) problems.push('fewer values came than objects were asked for');
  return { varbinds, problems };
}

/** At most as many bindings as the question allows. */
export function atMost(
  limit: number,
  got: readonly RawVarbind[],
): { readonly varbinds: readonly RawVarbind[]; readonly problems: readonly string[] } {
  if (got.length <= limit) return { varbinds: got, problems: [] };
  return { varbinds: got.slice(0, limit), problems: [`${got.length} values where at most ${limit} were asked: cut`] };
}
