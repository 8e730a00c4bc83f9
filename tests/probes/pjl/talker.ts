import { type AddressInfo, createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';

/** What a made-up device does with a connection; nothing by default. */
export interface Manners {
  readonly onConnect?: (socket: Socket) => void;
  /** With everything that has come so far. */
  readonly onData?: (socket: Socket, soFar: Buffer) => void;
  readonly onEnd?: (socket: Socket) => void;
}

export interface Talker {
  readonly port: number;
  /** Octets that came in, one entry for each connection. */
  readonly received: () => readonly Buffer[];
  /** Connections on which this side saw the other's FIN, as against a reset. */
  readonly properlyClosed: () => number;
  readonly resets: () => number;
  readonly close: () => Promise<void>;
}

/** A device on loopback that keeps its half open until told otherwise. It ends with the test. */
export async function talker(manners: Manners, host = '127.36.0.1', port = 0): Promise<Talker> {
  const open = new Set<Socket>();
  const received: Buffer[] = [];
  let closed = 0;
  let resets = 0;
  const server = createServer({ allowHalfOpen: true }, (socket) => {
    const index = received.push(Buffer.alloc(0)) - 1;
    open.add(socket);
    socket.on('error', () => {
      resets += 1;
    });
    socket.on('close', () => open.delete(socket));
    socket.on('data', (chunk: Buffer) => {
      const soFar = Buffer.concat([received[index] ?? Buffer.alloc(0), chunk]);
      received[index] = soFar;
      manners.onData?.(socket, soFar);
    });
    socket.on('end', () => {
      closed += 1;
      if (manners.onEnd === undefined) socket.end();
      else manners.onEnd(socket);
    });
    manners.onConnect?.(socket);
  });
  await new Promise<void>((resolve) => server.listen(port, host, resolve));
  let ended = false;
  const close = async (): Promise<void> => {
    if (ended) return;
    ended = true;
    for (const socket of open) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
  };
  onTestFinished(close);
  return {
    port: (server.address() as AddressInfo).port,
    received: () => received,
    properlyClosed: () => closed,
    resets: () => resets,
    close,
  };
}

/** Sends something again and again until the connection is gone. */
export function drip(socket: Socket, octets: string | Buffer, everyMs: number): void {
  const timer = setInterval(() => {
    if (socket.destroyed || !socket.writable) clearInterval(timer);
    else socket.write(octets);
  }, everyMs);
  socket.on('close', () => clearInterval(timer));
}

/** Sends as fast as the other side takes it. */
export function flood(socket: Socket, octets: Buffer): void {
  const pour = (): void => {
    while (!socket.destroyed && socket.writable && socket.write(octets)) {
      // until the buffer is full; the next drain goes on
    }
  };
  socket.on('drain', pour);
  pour();
}
