import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface Delivery {
  readonly key: string;
  readonly signature: string;
  readonly type: string;
  readonly body: string;
}

export interface Receiver {
  readonly url: string;
  readonly deliveries: Delivery[];
  /** What the next requests are answered with; 200 once it is empty. `cut`: the connection is broken after reading. */
  readonly answers: (number | 'cut')[];
  close(): Promise<void>;
}

/** A real HTTP receiver of webhooks on loopback. */
export async function startReceiver(port = 0): Promise<Receiver> {
  const deliveries: Delivery[] = [];
  const answers: (number | 'cut')[] = [];
  const server = createServer((request, response) => {
    const parts: Buffer[] = [];
    request.on('data', (part: Buffer) => parts.push(part));
    request.on('error', () => undefined);
    request.on('end', () => {
      const text = (name: string) => String(request.headers[name] ?? '');
      const body = Buffer.concat(parts).toString('utf8');
      deliveries.push({
        key: text('idempotency-key'),
        signature: text('outfeed-signature'),
        type: text('content-type'),
        body,
      });
      const answer = answers.shift() ?? 200;
      if (answer === 'cut') request.socket.destroy();
      else response.writeHead(answer).end('seen');
    });
  });
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/hook`,
    deliveries,
    answers,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
