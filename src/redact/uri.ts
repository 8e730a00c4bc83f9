/** Hides the host, the names and the query of a URI; its scheme, port and the usual words of its path stay. */
import type { StandIns, WordKind } from './stand-ins.js';

/** What hides the parts of a URI. */
export interface PartRedactor {
  readonly standIns: StandIns;
  /** Running text. */
  text(text: string): string;
  /** A whole value of a kind. */
  whole(kind: WordKind, value: string): string;
}

/** Segments that say what a path is for and not whose it is: RFC 8010, RFC 3510, PWG 5100.12, spoolers and web servers at large. */
const USUAL_SEGMENTS: ReadonlySet<string> = new Set(
  'ipp print printers printer classes jobs admin dev null index.html index.htm main.html info.html ipp3d faxout lp lpr raw port1 prt'.split(
    ' ',
  ),
);

/** Makers and models stand where others have a host. */
const MODEL_SCHEMES = /^usb$/i;

export function redactedUri(uri: string, redactor: PartRedactor): string {
  const [, scheme = '', authority = '', path = '', query = '', fragment = ''] =
    /^([a-z][a-z0-9+.-]*):\/\/([^/?#]*)((?:\/[^?#]*)?)(\?[^#]*)?(#[\s\S]*)?$/i.exec(uri) ?? [];
  if (scheme === '') return redactor.standIns.of('text', uri);
  const model = MODEL_SCHEMES.test(scheme);
  const who = model ? redactor.text(authority) : redactedAuthority(authority, redactor);
  const where = model ? redactor.text(path) : redactedPath(path, redactor);
  return `${scheme}://${who}${where}${redactedQuery(query, redactor)}${fragment === '' ? '' : '#'}`;
}

function redactedAuthority(authority: string, redactor: PartRedactor): string {
  const [, user, host = '', port = ''] = /^(?:([\s\S]*)@)?(\[[^\]@]*\]|[^:@]*)(:\d*)?$/.exec(authority) ?? [];
  const name = decoded(host);
  const service = /^([\s\S]*)(\._[a-z0-9-]+\._(?:tcp|udp)\.[\s\S]*)$/i.exec(name);
  const shown =
    service === null
      ? redactedHost(name, redactor)
      : encodeURIComponent(redactor.whole('printer', service[1] ?? '')) + service[2];
  return `${user === undefined ? '' : `${redactor.standIns.of('person', decoded(user))}@`}${shown}${port}`;
}

function redactedHost(host: string, redactor: PartRedactor): string {
  if (host === '' || !host.startsWith('[')) return host === '' ? '' : redactor.whole('host', host);
  const [address = '', zone] = host.slice(1, -1).split('%');
  return `[${redactor.whole('host', address)}${zone === undefined ? '' : `%${zone}`}]`;
}

/** A path of a URI, or one that stands alone, as the `rp` key of DNS-SD has it. */
export function redactedPath(path: string, redactor: PartRedactor): string {
  return path
    .split('/')
    .map((segment) => {
      if (segment === '' || /^\d+$/.test(segment) || USUAL_SEGMENTS.has(segment.toLowerCase())) return segment;
      return encodeURIComponent(redactor.whole('queue', decoded(segment)));
    })
    .join('/');
}

function redactedQuery(query: string, redactor: PartRedactor): string {
  return query.replace(
    /=([^&]*)/g,
    (_, value: string) => `=${encodeURIComponent(value === '' ? '' : redactor.whole('text', decoded(value)))}`,
  );
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
