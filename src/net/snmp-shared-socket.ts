import type { Buffer } from 'node:buffer';
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import { readEnvelope } from './snmp-envelope.js';
import { Closed } from './snmp-errors.js';
import { plainAddress, type SnmpChannel, type SnmpChannelEvents, sender } from './snmp-socket.js';

/** Room asked of the system for datagrams that wait for an address to be resolved, and for replies. Octets. */
const SEND_BUFFER = 4 * 1024 * 1024;
const RECEIVE_BUFFER = 4 * 1024 * 1024;

/** `address port id` of an open question. */
function key(address: string, port: number, id: number): string {
  return `${plainAddress(address)} ${port} ${id}`;
}

/** One target's part of the shared socket. */
class SharedChannel implements SnmpChannel {
  readonly ids = new Set<number>();
  events: SnmpChannelEvents | undefined;

  constructor(
    private readonly owner: SharedSocket,
    readonly address: string,
    readonly port: number,
  ) {}

  send(bytes: Buffer, done: (error: Error | null) => void): void {
    this.owner.send(this, bytes, done);
  }

  listen(events: SnmpChannelEvents): void {
    this.events = events;
  }

  ref(): void {}

  unref(): void {}

  close(): void {
    this.owner.forget(this);
  }
}

/**
 * One UDP socket for each address family, shared by any number of sessions: a reply finds its session by the address
 * it comes from and the id it carries. Not connected, so the system reports no closed port here: such a target is
 * silent.
 */
export class SharedSocket {
  readonly #sockets = new Map<'udp4' | 'udp6', Socket>();
  readonly #open = new Map<string, SharedChannel>();
  readonly #byId = new Map<number, SharedChannel>();
  #closed = false;

  /** A channel to one target, to be given to a session. */
  channel(address: string, port: number): SnmpChannel {
    return new SharedChannel(this, address, port);
  }

  #socket(family: 'udp4' | 'udp6'): Socket {
    const known = this.#sockets.get(family);
    if (known !== undefined) return known;
    const socket = createSocket({ type: family, sendBufferSize: SEND_BUFFER, recvBufferSize: RECEIVE_BUFFER });
    // An error here speaks of no one target; each send has its own.
    socket.on('error', () => undefined);
    socket.on('message', (bytes, from) => this.#heard(bytes, from));
    this.#sockets.set(family, socket);
    return socket;
  }

  #heard(bytes: Buffer, from: RemoteInfo): void {
    const envelope = readEnvelope(bytes);
    if (envelope === null) return;
    const asked = this.#open.get(key(from.address, from.port, envelope.id));
    if (asked !== undefined) asked.events?.datagram(bytes);
    else this.#byId.get(envelope.id)?.events?.stranger(bytes, sender(from));
  }

  send(channel: SharedChannel, bytes: Buffer, done: (error: Error | null) => void): void {
    const envelope = readEnvelope(bytes);
    if (this.#closed || envelope === null) {
      done(new Closed('closed'));
      return;
    }
    channel.ids.add(envelope.id);
    this.#open.set(key(channel.address, channel.port, envelope.id), channel);
    this.#byId.set(envelope.id, channel);
    const socket = this.#socket(isIPv6(channel.address) ? 'udp6' : 'udp4');
    socket.send(bytes, channel.port, channel.address, (error) => done(error));
  }

  forget(channel: SharedChannel): void {
    for (const id of channel.ids) {
      this.#open.delete(key(channel.address, channel.port, id));
      if (this.#byId.get(id) === channel) this.#byId.delete(id);
    }
    channel.ids.clear();
  }

  close(): void {
    if (this.#closed) return;
    this.#closed = true;
    for (const socket of this.#sockets.values()) socket.close();
    this.#open.clear();
    this.#byId.clear();
  }
}
