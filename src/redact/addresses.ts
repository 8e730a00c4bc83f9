/**
 * Addresses and numbers that name one device or one domain, and the documentation values that stand for them: IPv4
 * (RFC 5737, then RFC 2544's benchmarking range), IPv6 (RFC 3849), hardware addresses (RFC 9542 section 2.1.2).
 */
import ipaddr from 'ipaddr.js';

export type AddressKind = 'ipv4' | 'ipv6' | 'mac' | 'uuid' | 'sid' | 'fingerprint';

const ADDRESS_KINDS: ReadonlySet<string> = new Set(['ipv4', 'ipv6', 'mac', 'uuid', 'sid', 'fingerprint']);

export function isAddressKind(kind: string): kind is AddressKind {
  return ADDRESS_KINDS.has(kind);
}

/** One spelling for each address, whichever way it was written. */
export function canonicalAddress(kind: AddressKind, value: string): string {
  if (kind === 'ipv6') return ipaddr.IPv6.parse(value).toNormalizedString();
  if (kind === 'ipv4' || kind === 'sid') return value;
  return value.toLowerCase().replace(/[^0-9a-f]/g, '');
}

/** Addresses that everybody has tell nothing of anybody: this host, broadcast, masks, multicast (RFC 6890, RFC 5771, RFC 4291). */
export function isEverybodys(kind: 'ipv4' | 'ipv6' | 'mac', value: string): boolean {
  if (kind === 'ipv4') return /^(0\.|127\.0\.0\.1$|255\.|22[4-9]\.|23\d\.)/.test(value);
  if (kind === 'ipv6') return ['loopback', 'unspecified', 'multicast'].includes(ipaddr.IPv6.parse(value).range());
  const octets = canonicalAddress('mac', value);
  return /^0+$/.test(octets) || (Number.parseInt(octets.slice(0, 2), 16) & 1) === 1;
}

/** The n-th stand-in, counted from 1. An address that its device gave itself stays one that shows it. */
export function addressStandIn(kind: AddressKind, value: string, n: number): string {
  switch (kind) {
    case 'ipv4':
      return value.startsWith('169.254.')
        ? `169.254.${1 + Math.floor(n / 254)}.${1 + (n % 254)}`
        : documentationIpv4(n);
    case 'ipv6':
      return `${/^fe80:/i.test(value) ? 'fe80' : '2001:db8'}::${n.toString(16)}`;
    case 'mac':
      return octetsWithColons(n < 256 ? `00005e0053${hex(n, 2)}` : `02005e${hex(n, 6)}`);
    case 'uuid':
      return `00000000-0000-4000-8000-${hex(n, 12)}`;
    case 'sid':
      return `S-1-5-21-1-1-${n}`;
    case 'fingerprint':
      return octetsWithColons(hex(n, 64));
  }
}

const BLOCKS = ['203.0.113', '198.51.100', '192.0.2'] as const;

function documentationIpv4(n: number): string {
  const block = BLOCKS[Math.floor((n - 1) / 254)];
  if (block !== undefined) return `${block}.${1 + ((n - 1) % 254)}`;
  const rest = n - BLOCKS.length * 254;
  return `198.${18 + (Math.floor(rest / 65_536) % 2)}.${Math.floor(rest / 256) % 256}.${rest % 256}`;
}

function hex(n: number, digits: number): string {
  return n.toString(16).padStart(digits, '0');
}

function octetsWithColons(digits: string): string {
  return (digits.match(/../g) ?? []).join(':');
}

/** A hardware address in the form of another: its separators, its capitals. */
export function inFormOf(mac: string, sample: string): string {
  const digits = canonicalAddress('mac', mac);
  const letters = /[A-F]/.test(sample) ? digits.toUpperCase() : digits;
  const separator = /[^0-9a-f]/i.exec(sample)?.[0] ?? '';
  const size = separator === '.' ? /..../g : /../g;
  return (letters.match(size) ?? []).join(separator);
}

/** The four octets of an IPv4 address, the sixteen of an IPv6 address, the octets of a number in hex; one character each. */
export function octetsOfAddress(kind: AddressKind, value: string): string {
  if (kind === 'ipv4' || kind === 'ipv6') return String.fromCharCode(...ipaddr.parse(value).toByteArray());
  return Buffer.from(canonicalAddress(kind, value), 'hex').toString('latin1');
}
