import { withoutZone } from '../../model/uri.js';

/** One printer address in the two forms that are needed: where to connect, and what the request says (RFC 8010 4). */
export interface IppAddress {
  /** `ipp` or `ipps` form, US-ASCII, without user and password: goes into printer-uri and into evidence. */
  readonly uri: string;
  /** `http` or `https` form with its port. */
  readonly url: string;
  readonly host: string;
  readonly port: number;
  readonly tls: boolean;
  /** Begins with a slash. */
  readonly path: string;
}

/** RFC 3510 4.2 and RFC 7472: port 631 for ipp and ipps. */
export const IPP_PORT = 631;
const DEFAULT_PORTS: Readonly<Record<string, number>> = {
  'ipp:': IPP_PORT,
  'ipps:': IPP_PORT,
  'http:': 80,
  'https:': 443,
};

/** `ipp`, `ipps`, `http` or `https` URI → both forms; undefined for anything else. */
export function parseIppUri(text: string): IppAddress | undefined {
  const { uri, zone } = withoutZone(text.trim());
  let url: URL;
  try {
    url = new URL(uri);
  } catch {
    return undefined;
  }
  const defaultPort = DEFAULT_PORTS[url.protocol];
  if (defaultPort === undefined || url.hostname === '') return undefined;
  const tls = url.protocol === 'ipps:' || url.protocol === 'https:';
  const host = zone === undefined ? url.hostname : url.hostname.replace(']', `%${zone}]`);
  return ippAddress(host, url.port === '' ? defaultPort : Number(url.port), tls, url.pathname + url.search);
}

/** The address of `path` on a host, given by name, IPv4 or IPv6 address (with or without brackets). */
export function ippAddress(host: string, port: number, tls: boolean, path: string): IppAddress {
  const bracketed = host.includes(':') && !host.startsWith('[') ? `[${host}]` : host;
  const rooted = percentEncoded(path.startsWith('/') ? path : `/${path}`);
  const shownPort = port === IPP_PORT ? '' : `:${port}`;
  return {
    // The interface of a link-local address means something on this machine only (RFC 6874 1).
    uri: `${tls ? 'ipps' : 'ipp'}://${bracketed.replace(/%[^\]]*/, '')}${shownPort}${rooted}`,
    url: `${tls ? 'https' : 'http'}://${bracketed}:${port}${rooted}`,
    host: bracketed.replace(/^\[|\]$/g, ''),
    port,
    tls,
    path: rooted,
  };
}

/** Every character beyond printable US-ASCII as the percent-encoded octets of its UTF-8 form. */
export function percentEncoded(text: string): string {
  return text.replace(/\p{Cs}/gu, '\ufffd').replace(/[^\x21-\x7e]/gu, (c) => encodeURIComponent(c));
}
