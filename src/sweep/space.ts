import ipaddr from 'ipaddr.js';

/** A run of addresses of one family, both ends included. Addresses are whole numbers: 32 or 128 bits. */
export interface Span {
  readonly family: 4 | 6;
  readonly first: bigint;
  readonly last: bigint;
  /** The link that a link-local IPv6 address was named with, behind its `%` (RFC 4007 section 11). */
  readonly zone?: string;
}

/** An address as a number; IPv4 mapped into IPv6 counts as IPv4. Undefined for anything that is no plain address. */
export function toNumber(text: string): { readonly family: 4 | 6; readonly value: bigint } | undefined {
  const dotted = ipaddr.IPv4.isValidFourPartDecimal(text);
  if (!dotted && !ipaddr.IPv6.isValid(text)) return undefined;
  const parsed = dotted ? ipaddr.IPv4.parse(text) : ipaddr.process(text.split('%', 1)[0] ?? '');
  const value = parsed.toByteArray().reduce((sum, octet) => sum * 256n + BigInt(octet), 0n);
  return { family: parsed.kind() === 'ipv4' ? 4 : 6, value };
}

/** The number back as an address; IPv6 in its short form (RFC 5952). */
export function toText(family: 4 | 6, value: bigint): string {
  const octets = Array.from({ length: family === 4 ? 4 : 16 }, (_, index, count = family === 4 ? 4 : 16) =>
    Number((value >> BigInt(8 * (count - 1 - index))) & 255n),
  );
  const parsed = ipaddr.fromByteArray(octets);
  return parsed.kind() === 'ipv6' ? (parsed as ipaddr.IPv6).toRFC5952String() : parsed.toString();
}

/** The whole block of a CIDR text. The text must be well formed. */
export function blockOf(address: string, bits: number): Span {
  const number = toNumber(address);
  if (number === undefined) throw new RangeError(`no address: ${address}`);
  const size = 1n << BigInt((number.family === 4 ? 32 : 128) - bits);
  const first = number.value - (number.value % size);
  return { family: number.family, first, last: first + size - 1n };
}

function blocks(...texts: readonly string[]): readonly Span[] {
  return texts.map((text) => {
    const [address = '', bits] = text.split('/');
    return blockOf(address, Number(bits));
  });
}

/**
 * Where a sweep may go unasked: private use (RFC 1918), shared by carriers (RFC 6598), link-local (RFC 3927), loopback
 * (RFC 1122 3.2.1.3), documentation (RFC 5737, RFC 3849); unique local (RFC 4193), link-local and loopback (RFC 4291).
 */
const OWN_GROUND = blocks(
  '10.0.0.0/8',
  '172.16.0.0/12',
  '192.168.0.0/16',
  '100.64.0.0/10',
  '169.254.0.0/16',
  '127.0.0.0/8',
  '192.0.2.0/24',
  '198.51.100.0/24',
  '203.0.113.0/24',
  '2001:db8::/32',
  'fc00::/7',
  'fe80::/10',
  '::1/128',
);

/** No single host has such an address: this network (RFC 1122), multicast and reserved (RFC 1112, RFC 4291). */
const NOBODYS = blocks('0.0.0.0/8', '224.0.0.0/3', '::/128', 'ff00::/8');

const LOOPBACK = blocks('127.0.0.0/8', '::1/128');

function lies(span: Span, within: readonly Span[]): boolean {
  return within.some((block) => block.family === span.family && block.first <= span.first && span.last <= block.last);
}

function touches(span: Span, others: readonly Span[]): boolean {
  return others.some((block) => block.family === span.family && block.first <= span.last && span.first <= block.last);
}

/** True when every address of the span lies in one of the blocks that are nobody else's. */
export function isPrivate(span: Span): boolean {
  return lies(span, OWN_GROUND);
}

/** True when the span holds addresses that no host can have. */
export function holdsNobody(span: Span): boolean {
  return touches(span, NOBODYS);
}

const SELF_ASSIGNED = blocks('169.254.0.0/16', 'fe80::/10');

/** An address that a device gave itself because nobody gave it one (RFC 3927, RFC 4291 2.5.6). */
export function isSelfAssigned(address: string): boolean {
  const number = toNumber(address);
  return (
    number !== undefined && lies({ family: number.family, first: number.value, last: number.value }, SELF_ASSIGNED)
  );
}

export function isLoopbackSpan(span: Span): boolean {
  return lies(span, LOOPBACK);
}

export function overlap(a: Span, b: Span): boolean {
  return touches(a, [b]);
}
