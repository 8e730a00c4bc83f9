import { Buffer } from 'node:buffer';
import { constants } from 'node:crypto';
import { type ClientRequest, Agent as HttpAgent, type IncomingMessage, request as plainRequest } from 'node:http';
import { Agent as HttpsAgent, type RequestOptions, request as tlsRequest } from 'node:https';
import type { Socket } from 'node:net';
import { TLSSocket } from 'node:tls';
import type { Outcome, TlsInfo } from '../model/evidence.js';
import { errorCode, outcomeOfCode } from './failure.js';
import { unpackBody } from './http-body.js';
import type { HttpRequest, HttpResult } from './net.js';
import { tlsInfoOf } from './tls-info.js';

/** How far one attempt got, and what it has so far. */
interface Progress {
  connected: boolean;
  secured: boolean;
  tls: TlsInfo | undefined;
  response: IncomingMessage | undefined;
  readonly chunks: Buffer[];
  octets: number;
}

export type Attempt = Omit<HttpResult, 'tookMs'> & { readonly staleConnection?: boolean };

/**
 * Connections are kept for a moment, because one reading asks several things in a row and a printer's handshake is slow;
 * only for a moment, because some printers serve one connection at a time.
 */
const KEEP = { keepAlive: true, timeout: 1_000, maxFreeSockets: 16 };
const plainAgent = new HttpAgent(KEEP);
const tlsAgent = new HttpsAgent({ ...KEEP, maxCachedSessions: 0 });

/**
 * Printers sign their own certificates, speak old protocol versions and use short keys. Nothing secret is sent, so all
 * of it is accepted here and recorded.
 */
const TOLERANT_TLS = {
  rejectUnauthorized: false,
  minVersion: 'TLSv1',
  ciphers: 'DEFAULT:@SECLEVEL=0',
  secureOptions: constants.SSL_OP_LEGACY_SERVER_CONNECT,
} as const satisfies RequestOptions;

/** Where to connect: a URL, and the interface of a link-local address, which can't stand in it. */
export interface Place {
  readonly url: URL;
  readonly zone: string | undefined;
}

/** One request and its reply, no redirects. Always resolves, within `timeoutMs`. */
export function attempt(
  place: Place,
  request: HttpRequest,
  timeoutMs: number,
  freshConnection: boolean,
): Promise<Attempt> {
  const progress: Progress = {
    connected: false,
    secured: place.url.protocol !== 'https:',
    tls: undefined,
    response: undefined,
    chunks: [],
    octets: 0,
  };
  return new Promise((resolve) => {
    let sent: ClientRequest | undefined;
    let over = false;
    const finish = (outcome: Outcome, error?: string): void => {
      if (over) return;
      over = true;
      clearTimeout(timer);
      clearTimeout(connectTimer);
      if (error !== undefined) sent?.destroy();
      const staleConnection = sent?.reusedSocket === true && progress.response === undefined && error === 'ECONNRESET';
      resolve(conclude(progress, request.maxBytes, outcome, error, staleConnection));
    };
    const fail = (error: unknown): void => {
      const failure = transportFailure(progress, errorCode(error));
      finish(failure.outcome, failure.error);
    };
    const late = (): void => fail({ code: 'ETIMEDOUT' });
    const lateToConnect = (): void => {
      if (!progress.connected) late();
    };
    // On a machine that had no time for this program an answer may lie there unread: it is read before the time is called up.
    const timer = setTimeout(() => setImmediate(late), Math.max(1, timeoutMs));
    const connectTimer = setTimeout(() => setImmediate(lateToConnect), request.connectTimeoutMs ?? timeoutMs);
    try {
      sent = send(place, request, freshConnection);
      sent.on('socket', (socket) => watchSocket(socket, progress));
      sent.on('response', (response) => gather(response, progress, request.maxBytes, finish, fail));
      sent.on('error', fail);
      sent.end(request.body);
    } catch (error) {
      // Node throws at once for a header or path it will not send.
      fail(error);
    }
  });
}

function bodyHeaders({ body, chunked }: HttpRequest): Record<string, string> {
  if (body === undefined) return {};
  return chunked === true ? { 'transfer-encoding': 'chunked' } : { 'content-length': String(body.length) };
}

function send({ url, zone }: Place, request: HttpRequest, freshConnection: boolean): ClientRequest {
  const options: RequestOptions = {
    method: request.method,
    ...(zone === undefined ? {} : { hostname: `${url.hostname.replace(/^\[|\]$/g, '')}%${zone}` }),
    headers: {
      host: url.host,
      ...request.headers,
      ...bodyHeaders(request),
    },
    insecureHTTPParser: true,
  };
  const agent = (kept: HttpAgent) => (freshConnection ? false : kept);
  if (url.protocol !== 'https:') return plainRequest(url, { ...options, agent: agent(plainAgent) });
  return tlsRequest(url, { ...options, ...TOLERANT_TLS, agent: agent(tlsAgent) });
}

function watchSocket(socket: Socket, progress: Progress): void {
  const secured = (): void => {
    progress.secured = true;
    if (socket instanceof TLSSocket) progress.tls = tlsInfoOf(socket);
  };
  progress.connected = !socket.connecting;
  // A kept connection never connects again: a listener there would only pile up.
  if (!progress.connected) {
    socket.once('connect', () => {
      progress.connected = true;
    });
  }
  if (!(socket instanceof TLSSocket)) return;
  if (progress.connected && socket.getProtocol() !== null && socket.getPeerCertificate().raw !== undefined) secured();
  else socket.once('secureConnect', secured);
}

function gather(
  response: IncomingMessage,
  progress: Progress,
  maxBytes: number,
  finish: (outcome: Outcome, error?: string) => void,
  fail: (error: unknown) => void,
): void {
  progress.response = response;
  response.on('data', (chunk: Buffer) => {
    const room = maxBytes - progress.octets;
    progress.chunks.push(chunk.subarray(0, room));
    progress.octets += Math.min(room, chunk.length);
    if (chunk.length > room) finish('garbled', 'body-too-large');
  });
  response.on('end', () => finish('answered'));
  response.on('error', fail);
}

/** Octets after which a body that did not end in time is one that never ends: no reply to what is asked here is that long. */
const WITHOUT_END = 512 * 1024;

/** What a transport error means depends on how far the exchange had got. */
function transportFailure(progress: Progress, code: string): { outcome: Outcome; error: string } {
  if (progress.response !== undefined) {
    if (code === 'ETIMEDOUT')
      return progress.octets > WITHOUT_END
        ? { outcome: 'garbled', error: 'body-too-large' }
        : { outcome: 'failed', error: 'body-slow' };
    return { outcome: 'garbled', error: code.startsWith('HPE_') ? code : 'body-cut' };
  }
  if (code.startsWith('HPE_')) return { outcome: 'garbled', error: code };
  if (progress.connected && !progress.secured) {
    progress.tls = { error: code };
    return code === 'ETIMEDOUT' ? { outcome: 'silent', error: code } : { outcome: 'failed', error: 'tls' };
  }
  if (!progress.secured && isTlsCode(code)) {
    progress.tls = { error: code };
    return { outcome: 'failed', error: 'tls' };
  }
  const outcome = outcomeOfCode(code);
  // The port was open: a reset now is a broken exchange, not a closed port.
  return { outcome: progress.connected && outcome === 'refused' ? 'failed' : outcome, error: code };
}

function isTlsCode(code: string): boolean {
  return code.startsWith('ERR_SSL_') || code.startsWith('ERR_TLS_') || code === 'EPROTO';
}

async function conclude(
  progress: Progress,
  maxBytes: number,
  outcome: Outcome,
  error: string | undefined,
  staleConnection: boolean,
): Promise<Attempt> {
  const headers = headersOf(progress.response);
  const raw = Buffer.concat(progress.chunks);
  const unpacked = await unpackBody(raw, headers['content-encoding'] ?? '', maxBytes);
  const finalError = error ?? unpacked.error;
  return {
    outcome: error === undefined && unpacked.error !== undefined ? 'garbled' : outcome,
    status: progress.response?.statusCode ?? null,
    headers,
    body: unpacked.body,
    ...(progress.tls === undefined ? {} : { tls: progress.tls }),
    ...(finalError === undefined ? {} : { error: finalError }),
    ...(staleConnection ? { staleConnection } : {}),
  };
}

/** Names in lower case; a repeated header is joined by commas. No prototype: any name is a plain key. */
function headersOf(response: IncomingMessage | undefined): Record<string, string> {
  const headers = Object.create(null) as Record<string, string>;
  for (const [name, value] of Object.entries(response?.headers ?? {})) {
    headers[name] = Array.isArray(value) ? value.join(', ') : (value ?? '');
  }
  return headers;
}
