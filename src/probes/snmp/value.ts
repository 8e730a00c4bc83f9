import { Buffer } from 'node:buffer';
import type { SnmpValue } from '../../model/evidence.js';
import type { RawVarbind } from '../../net/net.js';

/** Octets of one value that are kept. RFC 3805 allows 255, the device id of PWG 5107.1 1023. */
export const MAX_OCTETS = 4096;

const PRINTABLE = /^[\x20-\x7e]*$/;

function ofOctets(octets: Buffer, binary: boolean): SnmpValue {
  const kept = octets.subarray(0, MAX_OCTETS);
  const text = kept.toString('latin1');
  return !binary && PRINTABLE.test(text) ? text : { hex: kept.toString('hex') };
}

/**
 * A value as evidence holds it; undefined for what is no value (NULL, exceptions). `binary` octets are never text.
 */
export function evidenceValue(binding: RawVarbind, binary: boolean): SnmpValue | undefined {
  const { value, type } = binding;
  if (Buffer.isBuffer(value)) return ofOctets(value, binary || type !== 'OctetString');
  if (typeof value === 'number') return Number.isFinite(value) ? value : undefined;
  if (typeof value === 'bigint') return value <= BigInt(Number.MAX_SAFE_INTEGER) ? Number(value) : value.toString();
  if (typeof value !== 'string') return undefined;
  if (type === 'IpAddress') return { ip: value };
  return type === 'ObjectIdentifier' ? { oid: value } : value;
}

/** Octets that a value takes, for the cap on a whole reading. */
export function weight(binding: RawVarbind): number {
  const { value } = binding;
  return 16 + (Buffer.isBuffer(value) || typeof value === 'string' ? value.length : 8);
}
