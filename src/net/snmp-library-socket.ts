import type { Buffer } from 'node:buffer';
import { EventEmitter } from 'node:events';
import { Closed } from './snmp-errors.js';
import type { SnmpChannel } from './snmp-socket.js';

/**
 * The socket that the library believes it has. Emits `message`; never `error`, which the library would not survive.
 */
export class LibrarySocket extends EventEmitter {
  #closed = false;

  constructor(
    private readonly channel: SnmpChannel,
    private readonly sent: (bytes: Buffer) => void,
  ) {
    super();
  }

  send(
    bytes: Buffer,
    offset: number,
    length: number,
    _port: number,
    _host: string,
    done: (error: unknown) => void,
  ): void {
    const datagram = bytes.subarray(offset, offset + length);
    this.sent(datagram);
    // Told of a success after the end, the library would start a timer that nothing stops.
    this.channel.send(datagram, (error) => done(this.#closed ? new Closed('closed') : error));
  }

  ref(): void {
    this.channel.ref();
  }

  unref(): void {
    this.channel.unref();
  }

  close(): void {
    this.#closed = true;
    this.channel.close();
    this.emit('close');
  }
}
