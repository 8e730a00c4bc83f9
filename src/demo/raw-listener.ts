/** A raw print port as a made-up printer has it: takes connections and octets, prints nothing. */
import { type AddressInfo, createServer, type Socket } from 'node:net';

export interface PortListener {
  readonly port: number;
  readonly connections: () => number;
  /** Octets that came in: a reader must leave this at 0. */
  readonly octets: () => number;
  readonly close: () => Promise<void>;
}

/** Starts a listener; port 0 takes a free one. `greet` may answer what comes in. */
export async function startRawListener(
  at: { readonly address: string; readonly port: number },
  greet?: (octets: Buffer, socket: Socket) => void,
): Promise<PortListener> {
  const open = new Set<Socket>();
  let connections = 0;
  let octets = 0;
  const server = createServer((socket) => {
    connections++;
    socket.on('error', () => undefined);
    open.add(socket);
    socket.on('close', () => open.delete(socket));
    socket.on('data', (chunk) => {
      octets += chunk.length;
      greet?.(chunk, socket);
    });
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(at.port, at.address, resolve);
  });
  server.removeAllListeners('error').on('error', () => undefined);
  return {
    port: (server.address() as AddressInfo).port,
    connections: () => connections,
    octets: () => octets,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        for (const socket of open) socket.destroy();
      }),
  };
}

/** A port number where nobody listens: taken and given back at once. */
export async function closedPort(address: string): Promise<number> {
  const listener = await startRawListener({ address, port: 0 });
  await listener.close();
  return listener.port;
}
