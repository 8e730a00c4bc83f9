import type { IppValue } from '../../model/evidence.js';

/** Schemes of a queue's device-uri whose authority is a host on the network; usb, file, dnssd and the like have none. */
const NETWORK_SCHEMES = new Set(['socket:', 'ipp:', 'ipps:', 'http:', 'https:', 'lpd:', 'smb:']);

/** The host that a queue sends to, without brackets; null when the URI names none. */
export function deviceHost(value: IppValue['value'] | undefined): string | null {
  if (typeof value !== 'string') return null;
  try {
    const url = new URL(value);
    const host = NETWORK_SCHEMES.has(url.protocol) ? decodeURIComponent(url.hostname).replace(/^\[|\]$/g, '') : '';
    return host === '' ? null : host;
  } catch {
    return null;
  }
}
