/** A line printer daemon as a made-up printer has it (RFC 1179): tells its queue's state, refuses jobs. */
import type { Socket } from 'node:net';
import { type PortListener, startRawListener } from './raw-listener.js';

/** Starts a listener; port 0 takes a free one. `state` is what it says of any queue, one line. */
export function startLpdListener(state: string, at: { address: string; port: number }): Promise<PortListener> {
  return startRawListener(at, (octets, socket) => reply(octets, socket, state));
}

/** RFC 1179 section 5: 03 and 04 ask for the queue's state, 02 wants to send a job. */
function reply(octets: Buffer, socket: Socket, state: string): void {
  const command = octets[0];
  if (command === 3 || command === 4) socket.end(`${state}\nno entries\n`);
  // Any octet but zero refuses (RFC 1179 section 6).
  else socket.end(Buffer.from([1]));
}
