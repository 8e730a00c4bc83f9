import type { Buffer } from 'node:buffer';
import { EventEmitter } from 'node:events';
import type { SnmpChannel } from './snmp-socket.js';

/** The socket that the library believes it has. Emits `message`; never `error`, which the library would not survive. */
export class LibrarySocket extends EventEmitter {
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
    this.channel.send(datagram, done);
  }

  ref(): void {
    this.channel.ref();
  }

  unref(): void {
    this.channel.unref();
  }

  close(): void {
    this.channel.close();
    this.emit('close');
  }
}
