import type { IppAttributes } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { STATUS_NAMES } from '../../registry/ipp.generated.js';
import { decodeIpp } from '../../wire/ipp/decode.js';
import { encodeRequest } from '../../wire/ipp/encode-request.js';
import { ippAddress } from '../../wire/ipp/uri.js';
import { isSuccess } from './exchange.js';

/**
 * The spooler's operation that lists its queues: 0x4002, in the range that RFC 8011 5.4.15 leaves to vendors. Documented by the spooler,
 * answered by nearly every print server on a Unix system.
 */
const LIST_QUEUES = 0x4002;
const MOST_QUEUES = 256;
const MOST_OCTETS = 1024 * 1024;

const WANTED = [
  'printer-name',
  'printer-uri-supported',
  'printer-info',
  'printer-make-and-model',
  'printer-uuid',
  'device-uri',
  'printer-type',
] as const;

/** What a server said of the printers that it has. */
export interface ListedPrinters {
  /** One record for each queue. */
  readonly printers: readonly IppAttributes[];
  /** `listed`: it knows the operation and has these. `none`: it says that it has none. `unknown`: it doesn't know the operation. */
  readonly answer: 'listed' | 'none' | 'unknown';
}

/** Asks a server for its queues. Only reads. Never rejects. */
export async function listPrinters(
  net: Net,
  host: string,
  port: number,
  tls: boolean,
  timeoutMs: number,
): Promise<ListedPrinters> {
  const address = ippAddress(host, port, tls, '/');
  const body = encodeRequest({
    operation: 'Get-Printer-Attributes',
    version: '1.1',
    requestId: 1,
    printerUri: address.uri,
    requestedAttributes: WANTED,
  });
  body.writeUInt16BE(LIST_QUEUES, 2);
  const http = await net.http({
    url: address.url,
    method: 'POST',
    headers: { 'content-type': 'application/ipp', accept: 'application/ipp' },
    body,
    timeoutMs,
    maxBytes: MOST_OCTETS,
  });
  const isIpp = http.status === 200 && /^application\/ipp\b/i.test(http.headers['content-type'] ?? '');
  const message = isIpp ? decodeIpp(http.body).message : null;
  if (message === null) return { printers: [], answer: 'unknown' };
  const status = STATUS_NAMES[message.code] ?? null;
  if (isSuccess(status)) {
    const groups = message.groups.filter((group) => group.tag === 'printer-attributes-tag').slice(0, MOST_QUEUES);
    return { printers: groups.map((group) => group.attributes), answer: groups.length > 0 ? 'listed' : 'none' };
  }
  // A spooler without queues says not-found, and names itself in the Server field (RFC 9110 10.2.4).
  const isSpooler = status === 'client-error-not-found' && /\bcups\b/i.test(http.headers.server ?? '');
  return { printers: [], answer: isSpooler ? 'none' : 'unknown' };
}
