import { Buffer } from 'node:buffer';
// Only the encoder: the package's entry point would load its transport as well.
import serialize from 'ipp/lib/serializer.js';
import { type SubscriptionWish, withMore } from './encode-subscription.js';
import { percentEncoded } from './uri.js';

/**
 * Questions, and requests that are sent only when a person asks for them by name: Identify-Printer makes a printer show
 * itself (PWG 5100.13 5.1), Print-Job prints the test page (RFC 8011 4.2.1), Hold-Job and Cancel-Job set one job of a queue aside (RFC 8011 4.3.5, 4.3.3).
 * The four of subscriptions (RFC 3995, RFC 3996) keep one at a queue whose people asked for it. CUPS-Get-Printers lists a spooler's queues: outside the registry, common practice, no published source.
 */
export type IppOperation =
  | 'Get-Printer-Attributes'
  | 'Get-Jobs'
  | 'Get-Job-Attributes'
  | 'Validate-Job'
  | 'Identify-Printer'
  | 'Print-Job'
  | 'Hold-Job'
  | 'Cancel-Job'
  | 'Create-Printer-Subscriptions'
  | 'Get-Notifications'
  | 'Renew-Subscription'
  | 'Cancel-Subscription'
  | 'CUPS-Get-Printers';

/** Numbers of operations that the npm package does not know. */
const NUMBERS: Partial<Record<IppOperation, number>> = { 'CUPS-Get-Printers': 0x4002 };
export type IppRequestVersion = '2.0' | '1.1' | '1.0';

/** What is sent to a printer or queue. The questions change nothing there; Validate-Job makes no job (RFC 8011 4.2.3). */
export interface IppRequest {
  readonly operation: IppOperation;
  readonly version: IppRequestVersion;
  /** 1 to 2^31-1. */
  readonly requestId: number;
  /** US-ASCII, percent-encoded. */
  readonly printerUri: string;
  readonly jobId?: number;
  /** In whose name it is asked. */
  readonly user?: string;
  readonly requestedAttributes?: readonly string[];
  readonly whichJobs?: 'completed' | 'not-completed';
  /** Jobs at most. */
  readonly limit?: number;
  readonly documentFormat?: string;
  readonly jobName?: string;
  /** Operation attributes of one integer each. */
  readonly integers?: Readonly<Record<string, number>>;
  readonly wish?: SubscriptionWish;
  /** Follows the attributes (RFC 8010 3.1). */
  readonly document?: Buffer;
}

/** RFC 8011 5.1.3: name(MAX) holds 255 octets. */
const LONGEST_NAME = 255;

/**
 * Octets of a request (RFC 8010 3.1). The npm package `ipp` does the encoding: for these operations and types it is right
 * octet by octet (see the tests). Its faults lie in what is not sent here: extension attributes, groups in lists, dates,
 * texts with language, sets inside collections. Three things are kept from it: control characters in names (it takes one
 * of them as a language mark), non-ASCII URIs and keywords (it counts their octets wrongly), and a request-id of 0
 * (it would make one up).
 */
export function encodeRequest(request: IppRequest): Buffer {
  const attributes: Record<string, string | number | readonly string[]> = {
    'attributes-charset': 'utf-8',
    'attributes-natural-language': 'en-us',
    'printer-uri': percentEncoded(request.printerUri),
  };
  if (request.jobId !== undefined) attributes['job-id'] = request.jobId;
  if (request.user !== undefined) attributes['requesting-user-name'] = plainName(request.user);
  if (request.jobName !== undefined) attributes['job-name'] = plainName(request.jobName);
  if (request.documentFormat !== undefined) attributes['document-format'] = percentEncoded(request.documentFormat);
  if (request.limit !== undefined) attributes.limit = request.limit;
  if (request.requestedAttributes !== undefined) {
    attributes['requested-attributes'] = request.requestedAttributes.map(percentEncoded);
  }
  if (request.whichJobs !== undefined) attributes['which-jobs'] = request.whichJobs;
  const number = NUMBERS[request.operation];
  const octets = serialize({
    version: request.version,
    operation: number === undefined ? request.operation : 'Get-Printer-Attributes',
    id: Math.max(1, request.requestId),
    'operation-attributes-tag': attributes,
  });
  // RFC 8010 3.1.1: the operation's number stands in the third and fourth octet.
  if (number !== undefined) octets.writeUInt16BE(number, 2);
  const complete = request.integers === undefined && request.wish === undefined ? octets : withMore(octets, request);
  return request.document === undefined ? complete : Buffer.concat([complete, request.document]);
}

/** A name without control characters, cut at a character's end to what a name may hold. */
function plainName(name: string): string {
  let kept = '';
  let octets = 0;
  for (const character of name.replace(/[\p{Cc}\p{Cs}]/gu, '')) {
    octets += Buffer.byteLength(character);
    if (octets > LONGEST_NAME) break;
    kept += character;
  }
  return kept;
}
