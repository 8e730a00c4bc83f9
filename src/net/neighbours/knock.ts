import { createSocket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import { errorCode } from '../failure.js';

/** The discard service (RFC 863): whoever listens there throws the datagram away. */
const DISCARD_PORT = 9;

export interface Knock {
  /** True once the host said that nobody listens there (ICMP port unreachable): a proof of life. */
  readonly answered: () => boolean;
  readonly close: () => void;
}

/**
 * Sends one empty datagram to an address's discard port, so that the kernel must find out its hardware address.
 * The socket is connected: only then does the system pass on an ICMP port unreachable.
 */
export function knock(address: string): Knock {
  let answered = false;
  let closed = false;
  const socket = createSocket(isIPv6(address) ? 'udp6' : 'udp4');
  socket.on('error', (error) => {
    // Windows says ECONNRESET for the same message.
    if (/^ECONN(REFUSED|RESET)$/.test(errorCode(error))) answered = true;
  });
  socket.connect(DISCARD_PORT, address, (error?: Error) => {
    if (error === undefined && !closed) socket.send(new Uint8Array(0), () => undefined);
  });
  return {
    answered: () => answered,
    close: () => {
      if (closed) return;
      closed = true;
      socket.close();
    },
  };
}
