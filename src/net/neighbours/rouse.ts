import { createSocket, type Socket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import type { Rouser } from '../net.js';

/** The discard service (RFC 863): whoever listens there throws the datagram away. */
const DISCARD_PORT = 9;

/**
 * A datagram to an absent address stays charged to its socket until the kernel gives up, three seconds later; with the
 * default buffer about 280 of them stop a socket. Four sockets with room of their own carry the thousand that the neighbour
 * table holds, whatever the system allows for one.
 */
const SOCKETS = 4;
const SEND_BUFFER = 1024 * 1024;
const NOTHING = new Uint8Array(0);

/**
 * At most four sockets for each address family. Those for IPv4 are bound at once: a socket that is bound only when it first sends keeps
 * the datagrams until the loop comes round, and whoever sends hundreds has much to do before that.
 */
export function openRouser(): Rouser {
  const rings = { udp4: [] as Socket[], udp6: [] as Socket[] };
  let turn = 0;
  let closed = false;
  const add = (family: 'udp4' | 'udp6'): Socket => {
    const socket = createSocket({ type: family, sendBufferSize: SEND_BUFFER });
    // An address that can't be sent to is one that nobody answers at.
    socket.on('error', () => undefined);
    rings[family].push(socket);
    return socket;
  };
  const socketFor = (family: 'udp4' | 'udp6'): Socket => {
    turn = (turn + 1) % SOCKETS;
    return rings[family][turn] ?? add(family);
  };
  while (rings.udp4.length < SOCKETS) add('udp4').bind();
  return {
    rouse: (address) => {
      if (closed) return;
      socketFor(isIPv6(address) ? 'udp6' : 'udp4').send(NOTHING, DISCARD_PORT, address, () => undefined);
    },
    close: () => {
      if (closed) return;
      closed = true;
      for (const socket of [...rings.udp4, ...rings.udp6]) socket.close();
    },
  };
}
