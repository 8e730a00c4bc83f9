import { decodeIpp } from '../../../src/wire/ipp/decode.js';
import type { IppMessage } from '../../../src/wire/ipp/message.js';

/** Octets of one attribute or value part; `value` as text or as hex in a record. */
export function part(tag: number, name: string, value: string | { hex: string }): string {
  const octets = typeof value === 'string' ? Buffer.from(value).toString('hex') : value.hex;
  const named = Buffer.from(name).toString('hex');
  return hex(tag, 1) + hex(named.length / 2, 2) + named + hex(octets.length / 2, 2) + octets;
}

export const CHARSET = part(0x47, 'attributes-charset', 'utf-8');
export const LANGUAGE = part(0x48, 'attributes-natural-language', 'en');

/** A reply with status 0 and request-id 1: operation group, printer group holding `parts`, end tag. */
export function printerReply(...parts: string[]): Buffer {
  return message(`01${CHARSET}${LANGUAGE}04${parts.join('')}03`);
}

/** Header (version 2.0, code 0, request-id 1) and whatever follows. */
export function message(afterHeader: string): Buffer {
  return Buffer.from(`0200000000000001${afterHeader}`, 'hex');
}

/** Decodes what must be an IPP message, however broken. */
export function decoded(octets: Uint8Array, limits?: Parameters<typeof decodeIpp>[1]): IppMessage {
  const { message: result } = decodeIpp(octets, limits);
  if (result === null) throw new Error('not an IPP message');
  return result;
}

function hex(value: number, octets: number): string {
  return value.toString(16).padStart(octets * 2, '0');
}
