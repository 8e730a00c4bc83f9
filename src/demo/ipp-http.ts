/** The HTTP side of made-up IPP peers: reads the request, lets the peer answer, and spoils the reply where the scenario says so. */
import { createServer, type IncomingMessage, type RequestListener, type ServerResponse } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import type { AddressInfo, Socket } from 'node:net';
import { makeCertificate } from './certificate.js';
import type { ScenarioIpp, ScenarioIppFault } from './device.js';
import { type IppRequest, readIppRequest } from './ipp-request.js';
import { GROUP, type IppGroup, item, writeReply } from './ipp-writer.js';

/** What a peer says to one request. */
export interface IppAnswer {
  readonly status: string;
  /** Groups behind the operation attributes. */
  readonly groups?: readonly IppGroup[];
}

export interface IppPeer {
  readonly title: string;
  readonly settings: Pick<ScenarioIpp, 'tls' | 'versions' | 'delayMs' | 'fault'>;
  /** Undefined: this path serves no IPP, HTTP 404. `authority` is the peer's own address and port. */
  readonly answer: (request: IppRequest, path: string, authority: string) => IppAnswer | undefined;
}

export interface IppListener {
  readonly port: number;
  readonly close: () => Promise<void>;
}

const BODY_CAP = 8 * 1024 * 1024;

/** Starts to serve; port 0 takes a free one. */
export async function startIppHttp(peer: IppPeer, at: { address: string; port: number }): Promise<IppListener> {
  const timers = new Set<NodeJS.Timeout>();
  const sockets = new Set<Socket>();
  let authority = at.address;
  const listener: RequestListener = (request, response) => {
    const later = setTimeout(() => {
      timers.delete(later);
      serve(peer, authority, request, response).catch(() => response.destroy());
    }, peer.settings.delayMs);
    timers.add(later);
  };
  const { tls } = peer.settings;
  const server = tls === 'none' ? createServer(listener) : createTlsServer(makeCertificate(peer.title, tls), listener);
  // A client that breaks off is the client's affair; the server stays up.
  server.on('clientError', (_error, socket) => socket.destroy());
  server.on('connection', (socket: Socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(at.port, at.address, resolve);
  });
  server.removeAllListeners('error').on('error', () => undefined);
  const { port } = server.address() as AddressInfo;
  authority = `${at.address}:${port}`;
  return {
    port,
    close: () => {
      for (const timer of timers) clearTimeout(timer);
      return new Promise((resolve) => {
        server.close(() => resolve());
        // All of them, those in the middle of a TLS handshake too, which the server itself does not count yet.
        for (const socket of sockets) socket.destroy();
      });
    },
  };
}

async function serve(
  peer: IppPeer,
  authority: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const path = (request.url ?? '/').replace(/\?.*/, '');
  if (request.method !== 'POST') {
    page(response, path === '/' ? 200 : 404, peer.title);
    return;
  }
  const body = await readBody(request);
  const ipp = readIppRequest(body);
  const { fault } = peer.settings;
  if (fault && strikes(fault, ipp) && spoil(fault, request, response, peer.title)) return;
  if (!ipp || !/^application\/ipp\b/.test(request.headers['content-type'] ?? '')) {
    page(response, 400, peer.title);
    return;
  }
  const version = speaks(peer.settings.versions, ipp.version);
  const struck = fault?.status !== undefined && strikes(fault, ipp) ? { status: fault.status } : undefined;
  const answer: IppAnswer | undefined = version
    ? (struck ?? peer.answer(ipp, path, authority))
    : { status: 'server-error-version-not-supported' };
  if (!answer) {
    page(response, 404, peer.title);
    return;
  }
  const reply = writeReply({
    version: version ?? peer.settings.versions.at(-1) ?? '1.1',
    status: answer.status,
    requestId: ipp.requestId,
    groups: [
      {
        tag: GROUP.operation,
        items: [
          item('attributes-charset', 'charset', 'utf-8'),
          item('attributes-natural-language', 'naturalLanguage', 'en'),
        ],
      },
      ...(answer.groups ?? []),
    ],
  });
  if (fault?.body === 'cut' && strikes(fault, ipp)) {
    response.writeHead(200, { 'content-type': 'application/ipp', 'content-length': reply.length });
    response.write(reply.subarray(0, reply.length >> 1), () => response.destroy());
    return;
  }
  response.writeHead(200, { 'content-type': 'application/ipp', 'content-length': reply.length }).end(reply);
}

/** Version of the reply: the one asked for, or the highest of the same major number (RFC 8011 4.1.8). */
function speaks(versions: readonly string[], asked: string): string | undefined {
  if (versions.includes(asked)) return asked;
  return versions.filter((version) => version.split('.')[0] === asked.split('.')[0]).at(-1);
}

function strikes(fault: ScenarioIppFault, request: IppRequest | undefined): boolean {
  return !fault.operations || (request !== undefined && fault.operations.includes(request.operation));
}

/** Answers with the scenario's fault; false when it leaves the reply to come. */
function spoil(fault: ScenarioIppFault, request: IncomingMessage, response: ServerResponse, title: string): boolean {
  if (fault.transport === 'silent') return true;
  if (fault.transport === 'reset') {
    request.socket.resetAndDestroy();
    return true;
  }
  if (fault.httpStatus !== undefined) {
    if (fault.httpStatus === 401) response.setHeader('www-authenticate', `Basic realm="${title}"`);
    if (fault.httpStatus === 426) response.setHeader('upgrade', 'TLS/1.2, HTTP/1.1').setHeader('connection', 'upgrade');
    page(response, fault.httpStatus, title);
    return true;
  }
  switch (fault.body) {
    case 'html':
      page(response, 200, title);
      return true;
    case 'empty':
      response.writeHead(200, { 'content-type': 'application/ipp', 'content-length': 0 }).end();
      return true;
    case 'garbage':
      response.writeHead(200, { 'content-type': 'application/ipp' }).end(GARBAGE);
      return true;
    case 'endless':
      response.writeHead(200, { 'content-type': 'application/ipp' });
      pour(response);
      return true;
    default:
      return false;
  }
}

/** A head that looks right, then a length that runs far past the end: RFC 8010 allows none of it. */
const GARBAGE = Buffer.concat([
  Buffer.from([2, 0, 0, 0, 0, 0, 0, 1, 0x01, 0x47, 0xff, 0xff]),
  Buffer.from('\u0000\u001b[31m\u0007 no attribute is as long as that', 'latin1'),
]);

function pour(response: ServerResponse): void {
  const chunk = Buffer.alloc(16 * 1024, 0x20);
  const more = (): void => {
    if (!response.destroyed) response.write(chunk, () => setImmediate(more));
  };
  more();
}

function page(response: ServerResponse, status: number, title: string): void {
  const body = `<!doctype html><title>${title}</title><h1>${title}</h1><p>${status}</p>\n`;
  response.writeHead(status, { 'content-type': 'text/html; charset=utf-8', 'content-length': Buffer.byteLength(body) });
  response.end(body);
}

async function readBody(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size <= BODY_CAP) chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}
