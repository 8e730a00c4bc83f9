import ipaddr from 'ipaddr.js';
import { type Asked, from } from './fact.js';
import { portOfUri } from './ports.js';

export interface DeviceFact {
  readonly uri: string;
  readonly scheme: string;
  /** Host part as written; null for a scheme that names none (usb:, file:, dnssd:). */
  readonly host: string | null;
  readonly port: number | null;
  readonly addresses: readonly string[];
  /** Address of the target that it is compared with; null when it has none. */
  readonly wanted: string | null;
  /** Whether it leads to the target; null when that can't be told from here. */
  readonly leadsHere: boolean | null;
  readonly evidence: readonly string[];
}

const NETWORK_SCHEMES = new Set(['ipp', 'ipps', 'http', 'https', 'socket', 'lpd']);
const isAddress = (host: string): boolean => /^\d{1,3}(\.\d{1,3}){3}$/.test(host) || host.includes(':');
const isV6 = (address: string): boolean => address.includes(':');

/** Takes a device URI apart; null when it is none. */
export function parseDeviceUri(uri: string): { scheme: string; host: string | null; port: number | null } | null {
  const match = /^([a-z][a-z0-9+.-]*):(?:\/\/(?:[^/@]*@)?(\[[^\]]+\]|[^/:?]*))?/i.exec(uri);
  if (!match?.[1]) return null;
  const scheme = match[1].toLowerCase();
  const host = match[2]?.replace(/^\[|\]$/g, '').toLowerCase();
  if (!NETWORK_SCHEMES.has(scheme) || host === undefined || host === '') return { scheme, host: null, port: null };
  return { scheme, host, port: portOfUri(uri) };
}

function addressesOf(host: string, queue: string, asked: Asked): { addresses: readonly string[]; ids: string[] } {
  if (isAddress(host)) return { addresses: [host], ids: [] };
  const records = from(asked.evidence, 'dns').filter(
    (r) => r.what.toLowerCase() === host && (r.about === 'target' || r.subject === queue),
  );
  return { addresses: records.flatMap((r) => r.value?.addresses ?? []), ids: records.map((r) => r.id) };
}

/** Where a queue's device-uri leads, compared with the target's address. */
export function readDevice(uri: string | null, queue: string, asked: Asked): DeviceFact | null {
  const parsed = uri === null ? null : parseDeviceUri(uri);
  if (uri === null || parsed === null) return null;
  if (parsed.host === null)
    return { uri, ...parsed, addresses: [], wanted: asked.address, leadsHere: null, evidence: [] };
  const { addresses, ids } = addressesOf(parsed.host, queue, asked);
  const leadsHere = parsed.host === asked.target.toLowerCase() || leadsTo(asked.address, addresses);
  return { uri, ...parsed, addresses, wanted: asked.address, leadsHere, evidence: ids };
}

/** A device has addresses of both kinds: one of the other kind than that which was asked shows nothing. */
function leadsTo(wanted: string | null, addresses: readonly string[]): boolean | null {
  const alike = addresses.filter((address) => wanted !== null && isV6(address) === isV6(wanted));
  return wanted === null || alike.length === 0 ? null : alike.some((address) => sameAddress(address, wanted));
}

/** IPv6 can be written in several ways (RFC 5952 section 2). */
function sameAddress(one: string, other: string): boolean {
  const plain = (address: string): string =>
    ipaddr.isValid(address) ? ipaddr.parse(address).toNormalizedString() : address.toLowerCase();
  return plain(one) === plain(other);
}
