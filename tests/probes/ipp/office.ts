import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';
import type { IppAttributes, IppValue, Observation } from '../../../src/model/evidence.js';
import type { Target } from '../../../src/model/target.js';
import type { Limits } from '../../../src/probes/probe.js';
import { decodeIpp } from '../../../src/wire/ipp/decode.js';
import { selfSigned } from '../../net/self-signed.js';
import { encodeMessage } from '../../wire/ipp/encode-message.js';

export const HOST = '127.31.1.1';

/** One request as the server saw it. */
export interface Seen {
  readonly path: string;
  readonly operation: number;
  readonly version: string;
  readonly requestId: number;
  readonly attributes: IppAttributes;
}

export type Handler = (seen: Seen, response: ServerResponse) => void;

/** An HTTP server on loopback that hands each IPP request to `handler`; ends with the test. */
export async function ippServer(handler: Handler, tls = false, host = HOST): Promise<{ port: number; seen: Seen[] }> {
  const seen: Seen[] = [];
  const listener = (request: IncomingMessage, response: ServerResponse): void => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const { message } = decodeIpp(Buffer.concat(chunks));
      const one: Seen = {
        path: request.url ?? '',
        operation: message?.code ?? -1,
        version: message?.version ?? '',
        requestId: message?.requestId ?? 0,
        attributes: message?.groups[0]?.attributes ?? {},
      };
      seen.push(one);
      handler(one, response);
    });
  };
  const server = tls ? createTlsServer(selfSigned(), listener) : createServer(listener);
  await new Promise<void>((resolve) => server.listen(0, host, resolve));
  onTestFinished(async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  });
  return { port: (server.address() as AddressInfo).port, seen };
}

export const value = (tag: string, each: IppValue['value']): IppValue => ({ tag, value: each });
export const HEALTHY: IppAttributes = {
  'printer-name': [value('nameWithoutLanguage', 'front-desk')],
  'printer-state': [value('enum', 3)],
  'printer-state-reasons': [value('keyword', 'none')],
  'printer-is-accepting-jobs': [value('boolean', true)],
};

/** Octets of a reply to `seen`. */
export function ippReply(
  seen: Seen,
  code: number,
  groups: readonly { tag: string; attributes: IppAttributes }[] = [],
  version = seen.version,
): Buffer {
  const operation = {
    'attributes-charset': [value('charset', 'utf-8')],
    'attributes-natural-language': [value('naturalLanguage', 'en')],
  };
  return encodeMessage({
    version,
    code,
    requestId: seen.requestId,
    groups: [{ tag: 'operation-attributes-tag', attributes: operation }, ...groups],
  });
}

export function sendIpp(response: ServerResponse, octets: Buffer, contentType = 'application/ipp'): void {
  response.writeHead(200, { 'content-type': contentType });
  response.end(octets);
}

/** A printer that answers each operation well, with two jobs. */
export const healthy: Handler = (seen, response) => {
  if (seen.operation === 0x000b) {
    sendIpp(response, ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes: HEALTHY }]));
  } else if (seen.operation === 0x000a) {
    const job = (id: number) => ({
      tag: 'job-attributes-tag',
      attributes: { 'job-id': [value('integer', id)], 'job-state-reasons': [value('keyword', 'none')] },
    });
    sendIpp(response, ippReply(seen, 0, [job(7), job(8)]));
  } else sendIpp(response, ippReply(seen, 0));
};

export function status(code: number, body = ''): Handler {
  return (_seen, response) => {
    response.writeHead(code, { 'content-type': 'text/html' });
    response.end(body);
  };
}

export function target(more: Partial<Target> = {}): Target {
  return { label: 'front-desk', host: HOST, snmpPort: 161, printPorts: [], queues: [], ...more };
}

export function limits(more: Partial<Limits> = {}): Limits {
  return { timeoutMs: 2_000, retries: 1, deadlineMs: 10_000, credentials: [], ...more };
}

/** The records as one line each, for reading beside what is expected. */
export function lines(observations: readonly Observation[]): string[] {
  return observations.map((each) => `${each.source} ${each.what} ${each.outcome}`);
}
