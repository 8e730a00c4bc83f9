import { readHost } from './host.js';

/** The parts of a printer's or a queue's URI that matter here. */
export interface DeviceUri {
  readonly scheme: 'ipp' | 'ipps' | 'http' | 'https' | 'socket' | 'lpd';
  /** Without brackets. */
  readonly host: string;
  readonly port: number;
  readonly path: string;
}

/**
 * Default ports: ipp and ipps 631 (RFC 8010 section 5, RFC 7472 section 4.1), lpd 515 (RFC 1179 section 3.1);
 * socket 9100 is common practice, no published source.
 */
const PORTS: Readonly<Record<DeviceUri['scheme'], number>> = {
  ipp: 631,
  ipps: 631,
  http: 80,
  https: 443,
  socket: 9100,
  lpd: 515,
};

/** A link-local address with its interface in brackets, after `%25` or a bare `%` (RFC 6874 2, RFC 4007 11). */
const ZONE = /^([a-z][a-z0-9+.-]*:\/\/(?:[^/?#@]*@)?\[[0-9a-f:.]+)%(?:25)?([^\]/?#]+)(\].*)$/i;

/** Takes the interface out of a URI: the URL standard has no room for it, so it travels beside the rest. */
export function withoutZone(text: string): { readonly uri: string; readonly zone?: string } {
  const [, before, zone, after] = ZONE.exec(text) ?? [];
  return zone === undefined ? { uri: text } : { uri: `${before}${after}`, zone };
}

/** True when the text has the form of a URI, right or wrong. */
export function looksLikeUri(text: string): boolean {
  return /^[a-z][a-z0-9+.-]*:\/\//i.test(text);
}

/** Reads a URI of one of the schemes that lead to printers, or says in one sentence why it can't be used. */
export function readDeviceUri(typed: string): DeviceUri | { readonly wrong: string } {
  const text = typed.replace(/\/\/[^/]*@/, '//…@');
  const { uri, zone } = withoutZone(typed.trim());
  let url: URL;
  try {
    url = new URL(uri);
  } catch {
    return { wrong: `"${text}" is no URI that can be read` };
  }
  const scheme = url.protocol.slice(0, -1);
  if (!isScheme(scheme)) {
    return { wrong: `"${text}" is not an ipp, ipps, http, https, socket or lpd URI` };
  }
  if (url.username !== '' || url.password !== '') {
    return { wrong: 'a URI with a user name or password in it is not taken: it would end up in files and logs' };
  }
  const host = readHost(zone === undefined ? decoded(url.hostname) : `${url.hostname.slice(1, -1)}%${zone}`);
  if ('wrong' in host) return { wrong: `in the URI "${text}": ${host.wrong}` };
  const port = url.port === '' ? PORTS[scheme] : Number(url.port);
  if (port === 0) return { wrong: `in the URI "${text}": the port is 1 to 65535` };
  return { scheme, host: host.host, port, path: url.pathname };
}

function isScheme(scheme: string): scheme is DeviceUri['scheme'] {
  return Object.hasOwn(PORTS, scheme);
}

function decoded(hostname: string): string {
  try {
    return decodeURIComponent(hostname);
  } catch {
    return hostname;
  }
}
