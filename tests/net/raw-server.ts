import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer } from 'node:tls';
import { onTestFinished } from 'vitest';
import { selfSigned } from './self-signed.js';

/** What a server does with one connection once the first octets of a request have come. */
export type Answer = (socket: Socket, request: Buffer) => void;

/** A server on loopback that answers as it is told, honest or not. It ends with the test. */
export async function rawServer(
  answer: Answer,
  host = '127.31.0.1',
): Promise<{ port: number; connections: () => number }> {
  return listening(createServer(connectionHandler(answer)), host);
}

/** The same behind TLS, with a certificate of its own signing. */
export async function rawTlsServer(
  answer: Answer,
  host = '127.31.0.1',
): Promise<{ port: number; connections: () => number }> {
  return listening(createTlsServer(selfSigned(), connectionHandler(answer)), host);
}

function connectionHandler(answer: Answer): (socket: Socket) => void {
  return (socket) => {
    socket.on('error', () => socket.destroy());
    socket.on('data', (chunk) => answer(socket, chunk));
  };
}

async function listening(server: Server, host: string): Promise<{ port: number; connections: () => number }> {
  const sockets = new Set<Socket>();
  let connections = 0;
  server.on('connection', (socket) => {
    connections += 1;
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
  });
  await new Promise<void>((resolve) => server.listen(0, host, resolve));
  onTestFinished(async () => {
    for (const socket of sockets) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
  });
  return { port: (server.address() as AddressInfo).port, connections: () => connections };
}

/** A whole reply in one piece, the connection closed after it. */
export function reply(status: string, headers: readonly string[], body: Buffer | string = ''): Answer {
  return (socket) => {
    const octets = Buffer.from(body);
    const head = [`HTTP/1.1 ${status}`, `Content-Length: ${octets.length}`, 'Connection: close', ...headers, '', ''];
    socket.end(Buffer.concat([Buffer.from(head.join('\r\n')), octets]));
  };
}
