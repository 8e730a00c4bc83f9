import ipaddr from 'ipaddr.js';

/** A host as a person wrote it, or the one sentence that says why it is none. */
export type HostReading =
  | { readonly host: string; readonly kind: 'ipv4' | 'ipv6' | 'name' }
  | { readonly wrong: string };

/**
 * Reads an IP literal (IPv6 with or without brackets, with or without a zone) or a host name (RFC 1123 2.1; letters beyond
 * ASCII are turned into their A-labels, RFC 5890). The last label of a name is never a number (RFC 3696 section 2), so `1.2.3` and
 * `300.1.2.3` are mistyped addresses rather than names.
 */
export function readHost(text: string): HostReading {
  const host = text.replace(/^\[(.*)\]$/, '$1');
  if (host.trim() === '') return { wrong: 'nothing was given where an address or a name belongs' };
  if (/\s/.test(host)) return { wrong: `"${text}" holds a space, which neither an address nor a host name may` };
  if (host.includes('/')) return rangeOrPath(text);
  if (host.includes(':')) return readIpv6(text, host);
  if (/(^|\.)(\d+|0x[0-9a-f]*)\.?$/i.test(host)) return readIpv4(host);
  return readName(text, host);
}

function rangeOrPath(text: string): HostReading {
  return /^[0-9a-f.:]+\/\d+$/i.test(text)
    ? { wrong: `"${text}" is a range of addresses; name one address of it here, or give the range to "outfeed sweep"` }
    : { wrong: `"${text}" is neither an address, a host name nor a URI` };
}

function readIpv6(text: string, host: string): HostReading {
  if (ipaddr.IPv6.isValid(host)) return { host: host.toLowerCase(), kind: 'ipv6' };
  const port = /^([^:]+):(\d+)$/.exec(host);
  if (port !== null) {
    return { wrong: `"${text}" has a port; give ${port[1]} alone, with --ipp-uri or --snmp-port where a port matters` };
  }
  return { wrong: `"${text}" is no IPv6 address` };
}

function readIpv4(host: string): HostReading {
  const parts = host.split('.');
  const whole = parts.length === 4 && parts.every((part) => /^(0|[1-9]\d{0,2})$/.test(part) && Number(part) <= 255);
  if (whole) return { host, kind: 'ipv4' };
  return { wrong: `"${host}" is no IPv4 address: that is four numbers from 0 to 255 with dots between them` };
}

function readName(text: string, host: string): HostReading {
  const name = toAscii(host);
  const labels = name.replace(/\.$/, '').split('.');
  const fine = labels.every((label) => /^[a-z0-9_]([a-z0-9_-]{0,61}[a-z0-9_])?$/i.test(label));
  if (fine && name.length <= 253) return { host: name, kind: 'name' };
  return { wrong: `"${text}" is neither an address nor a host name` };
}

function toAscii(host: string): string {
  if (/^[\x21-\x7e]*$/.test(host)) return host;
  try {
    return new URL(`http://${host}/`).hostname;
  } catch {
    return host;
  }
}
