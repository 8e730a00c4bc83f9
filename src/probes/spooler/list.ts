import type { IppAttributes, Outcome } from '../../model/evidence.js';
import type { Net } from '../../net/net.js';
import { decodeIpp } from '../../wire/ipp/decode.js';
import { encodeRequest } from '../../wire/ipp/encode-request.js';
import { ippAddress, parseIppUri } from '../../wire/ipp/uri.js';

/** One queue of a spooler's own list. */
export interface ListedQueue {
  readonly uri: string;
  readonly name: string;
  /** Host of its device URI, null where it names none. */
  readonly deviceUri: string | null;
}

export interface QueueList {
  readonly outcome: Outcome;
  readonly queues: readonly ListedQueue[];
  /** In one clause why there is no list. */
  readonly because: string | null;
}

const MOST_QUEUES = 500;
const WANTED = ['printer-name', 'printer-uri-supported', 'device-uri', 'member-names'];

/** Asks a spooler for its queues. Reads only; never rejects. `uri` is any address of the spooler: `ipp://127.0.0.1/`. */
export async function listQueues(uri: string, net: Net, timeoutMs: number, user?: string): Promise<QueueList> {
  const address = parseIppUri(uri);
  if (address === undefined) return { outcome: 'failed', queues: [], because: 'it is no ipp, ipps, http or https URI' };
  const http = await net.http({
    url: ippAddress(address.host, address.port, address.tls, '/').url,
    method: 'POST',
    headers: { 'content-type': 'application/ipp', accept: 'application/ipp' },
    body: encodeRequest({
      operation: 'CUPS-Get-Printers',
      version: '2.0',
      requestId: 1,
      printerUri: address.uri,
      requestedAttributes: WANTED,
      limit: MOST_QUEUES,
      ...(user === undefined ? {} : { user }),
    }),
    timeoutMs,
    maxBytes: 8 * 1024 * 1024,
  });
  if (http.status === null) return { outcome: http.outcome, queues: [], because: http.error ?? http.outcome };
  if (http.status !== 200) {
    const outcome = http.status >= 500 ? 'failed' : 'denied';
    return { outcome, queues: [], because: `HTTP status ${http.status}` };
  }
  const { message } = decodeIpp(http.body);
  if (message === null) return { outcome: 'garbled', queues: [], because: 'what came is no IPP reply' };
  const groups = message.groups.filter(({ tag }) => tag === 'printer-attributes-tag').slice(0, MOST_QUEUES);
  const queues = groups.flatMap(({ attributes }) => queueOf(attributes, address) ?? []);
  // 0x0406: a spooler without queues says that it found none (RFC 8011 appendix B.1.5.7).
  const listed = message.code < 0x0400 || message.code === 0x0406;
  return { outcome: 'answered', queues, because: listed ? null : 'it does not tell its queues' };
}

/** The list names its host as it likes; the queue is asked where the list came from. */
function queueOf(attributes: IppAttributes, at: NonNullable<ReturnType<typeof parseIppUri>>): ListedQueue | undefined {
  const name = textOf(attributes, 'printer-name');
  const listed = parseIppUri(textOf(attributes, 'printer-uri-supported') ?? '');
  if (name === null || listed === undefined) return undefined;
  const uri = ippAddress(at.host, at.port, at.tls, listed.path).uri;
  return { uri, name, deviceUri: textOf(attributes, 'device-uri') };
}

function textOf(attributes: IppAttributes, name: string): string | null {
  const value = Object.hasOwn(attributes, name) ? attributes[name]?.[0]?.value : undefined;
  if (typeof value === 'string') return value;
  return typeof value === 'object' && value !== null && 'text' in value ? value.text : null;
}
