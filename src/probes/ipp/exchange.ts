import type { Buffer } from 'node:buffer';
import type { IppAttributes, IppExchangeValue, Outcome } from '../../model/evidence.js';
import type { HttpResult, Net } from '../../net/net.js';
import { decodeIpp } from '../../wire/ipp/decode.js';
import { deviationSentence } from '../../wire/ipp/deviations.js';
import { encodeRequest, type IppRequest } from '../../wire/ipp/encode-request.js';
import type { IppMessage } from '../../wire/ipp/message.js';
import { type IppReply, readReply } from '../../wire/ipp/reply.js';
import type { IppAddress } from '../../wire/ipp/uri.js';
import type { Budget } from './budget.js';
import { withoutSecrets } from './secrets.js';

export type IppQuestion = Omit<IppRequest, 'printerUri' | 'requestId'>;

/** One request and what came of it. */
export interface IppAnswer {
  readonly address: IppAddress;
  readonly question: IppQuestion;
  readonly outcome: Outcome;
  readonly value: IppExchangeValue;
}

/** Room for a rich printer's attributes (100 kB) and hundreds of jobs. */
const MOST_OCTETS = 4 * 1024 * 1024;
const MEDIA_TYPE = 'application/ipp';
const HTTP_DENIALS = [401, 403, 407];
/** RFC 8011 4.1.6 with appendix B: the printer's own no to this client. */
const IPP_DENIALS = ['client-error-forbidden', 'client-error-not-authenticated', 'client-error-not-authorized'];
const NO_ATTRIBUTES: IppAttributes = {};

/** Sends one request and reads its reply (RFC 8010 3.4, 4). Never rejects. */
export async function askIpp(net: Net, budget: Budget, address: IppAddress, question: IppQuestion): Promise<IppAnswer> {
  return (await askForReply(net, budget, address, question)).answer;
}

/** The same with the reply as it came, for what is no evidence. */
export async function askForReply(
  net: Net,
  budget: Budget,
  address: IppAddress,
  question: IppQuestion,
): Promise<{ readonly answer: IppAnswer; readonly reply?: IppReply }> {
  const requestId = budget.nextRequestId();
  const http = await net.http({
    ...(question.operation === 'Print-Job' ? { once: true } : {}),
    url: address.url,
    method: 'POST',
    headers: { 'content-type': MEDIA_TYPE, accept: `${MEDIA_TYPE}, */*;q=0.1` },
    body: encodeRequest({ ...question, printerUri: address.uri, requestId }),
    timeoutMs: budget.readMs(),
    connectTimeoutMs: budget.connectMs(),
    maxBytes: MOST_OCTETS,
  });
  const read = readHttp(http, question, requestId);
  const value: IppExchangeValue = {
    uri: address.uri,
    httpStatus: http.status,
    ...(http.headers['content-type'] === undefined ? {} : { contentType: http.headers['content-type'] }),
    version: read.reply?.version ?? null,
    status: read.reply?.status ?? null,
    ...(read.reply?.statusMessage === undefined ? {} : { statusMessage: read.reply.statusMessage }),
    attributes: withoutSecrets(read.reply?.attributes ?? NO_ATTRIBUTES),
    ...(question.whichJobs === undefined ? {} : { whichJobs: question.whichJobs }),
    ...(read.reply?.jobs === undefined ? {} : { jobs: read.reply.jobs.map(withoutSecrets) }),
    ...(read.reply?.unsupported === undefined ? {} : { unsupported: read.reply.unsupported }),
    ...(http.tls === undefined ? {} : { tls: http.tls }),
    ...(http.error === undefined ? {} : { error: http.error }),
    ...(question.user === undefined ? {} : { user: question.user }),
    problems: read.problems,
  };
  const answer = { address, question, outcome: read.outcome, value };
  return read.reply === undefined ? { answer } : { answer, reply: read.reply };
}

interface Read {
  readonly outcome: Outcome;
  readonly reply?: IppReply;
  readonly problems: readonly string[];
}

/** Transport first, then the HTTP status, then the message: the lowest that fails decides the outcome. */
function readHttp(http: HttpResult, question: IppQuestion, requestId: number): Read {
  if (http.status === null) return { outcome: http.outcome, problems: [] };
  const contentType = (http.headers['content-type'] ?? '').split(';')[0]?.trim().toLowerCase() ?? '';
  const claimed = contentType === MEDIA_TYPE;
  const message = ippMessage(http.body, claimed);
  if (http.status !== 200) {
    const outcome = HTTP_DENIALS.includes(http.status) ? 'denied' : 'failed';
    // Some printers put their IPP status into the body of an HTTP error.
    if (message === null || !claimed) return { outcome, problems: [] };
    const reply = readReply(message, { operation: question.operation, requestId });
    return { outcome, reply, problems: reply.problems };
  }
  if (message === null) {
    return { outcome: http.outcome === 'failed' ? 'failed' : 'garbled', problems: [noIpp(http, contentType)] };
  }
  const reply = readReply(message, { operation: question.operation, requestId });
  const problems = claimed ? reply.problems : [deviationSentence('content-type-other', contentType), ...reply.problems];
  if (message.dataOffset === null && beyondUse(reply, question)) return { outcome: 'garbled', reply, problems };
  return { outcome: IPP_DENIALS.includes(reply.status) ? 'denied' : 'answered', reply, problems };
}

/** The body as IPP; under another content type only when its version is one that IPP has. */
function ippMessage(body: Buffer, claimed: boolean): IppMessage | null {
  const { message } = decodeIpp(body);
  const major = message?.version.split('.')[0];
  return claimed || major === '1' || major === '2' ? message : null;
}

/** A reply without its end still serves when what matters most had come. */
function beyondUse(reply: IppReply, question: IppQuestion): boolean {
  if (question.operation !== 'Get-Printer-Attributes' || !isSuccess(reply.status)) {
    return reply.attributes['attributes-charset'] === undefined;
  }
  return reply.attributes['printer-state'] === undefined;
}

/** `successful-ok` and its kin (RFC 8011 appendix B.1). */
export function isSuccess(status: string | null): boolean {
  return status?.startsWith('successful-') ?? false;
}

function noIpp(http: HttpResult, contentType: string): string {
  if (http.body.length === 0) return 'HTTP status 200 came with nothing after it, where an IPP reply should be.';
  const type = contentType === '' ? 'no content type' : `content type ${contentType}`;
  return `HTTP status 200 came with ${type} and ${http.body.length} octets that are no IPP reply.`;
}
