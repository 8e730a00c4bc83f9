import type { Buffer } from 'node:buffer';
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import { isIPv6 } from 'node:net';
import ipaddr from 'ipaddr.js';
import { Closed } from './snmp-errors.js';

/** Where the datagrams of one session go out and come in. */
export interface SnmpChannel {
  /** `done` is called once, with the system's error or null. */
  send(bytes: Buffer, done: (error: Error | null) => void): void;
  listen(events: SnmpChannelEvents): void;
  ref(): void;
  unref(): void;
  close(): void;
}

export interface SnmpChannelEvents {
  /** From the address and port that were asked. */
  datagram(bytes: Buffer): void;
  /** From anywhere else; `from` is its address and port. */
  stranger(bytes: Buffer, from: string): void;
  /** The system's word that the other side can't be reached. */
  failure(error: Error): void;
}

/** One spelling for each address: no zone, IPv4 mapped into IPv6 unwrapped. A name stays as it is. */
export function plainAddress(address: string): string {
  const bare = address.split('%', 1)[0] ?? '';
  return ipaddr.isValid(bare) ? ipaddr.process(bare).toString() : address;
}

/** `192.0.2.7 port 161` */
export function sender(from: RemoteInfo): string {
  return `${from.address} port ${from.port}`;
}

/**
 * A channel to one agent. The connected socket lets the system report that the port is closed, but it hears nobody
 * except the agent; so a second socket on the same local port hears a reply from the agent's other addresses.
 */
class OwnChannel implements SnmpChannel {
  readonly #connected: Socket;
  readonly #others: Socket;
  #events: SnmpChannelEvents | undefined;
  #waiting: { readonly bytes: Buffer; readonly done: (error: Error | null) => void }[] = [];
  #state: 'opening' | 'open' | 'failed' | 'closed' = 'opening';
  #failure: Error | null = null;

  constructor(
    private readonly address: string,
    private readonly port: number,
  ) {
    const type = isIPv6(address) ? 'udp6' : 'udp4';
    this.#others = createSocket({ type, reuseAddr: true });
    this.#connected = createSocket({ type, reuseAddr: true });
    this.#others.on('error', (error) => this.#fail(error));
    this.#connected.on('error', (error) => this.#fail(error));
    this.#others.on('message', (bytes, from) => this.#heard(bytes, from));
    this.#connected.on('message', (bytes, from) => this.#heard(bytes, from));
    this.#choosePort(type);
  }

  /**
   * Sockets that may share a port can also be given one that another session shares already; a socket that may not
   * share finds a port that is free, and makes room for the two.
   */
  #choosePort(type: 'udp4' | 'udp6'): void {
    const chooser = createSocket(type);
    chooser.on('error', (error) => this.#fail(error));
    chooser.bind({ port: 0, exclusive: true }, () => {
      const { port } = chooser.address();
      chooser.close();
      if (this.#state === 'opening') this.#others.bind({ port, exclusive: true }, () => this.#connect(port));
    });
  }

  #connect(port: number): void {
    if (this.#state !== 'opening') return;
    this.#connected.bind({ port, exclusive: true }, () => {
      if (this.#state !== 'opening') return;
      this.#connected.connect(this.port, this.address, (...given: unknown[]) => this.#opened(given[0]));
    });
  }

  #opened(error: unknown): void {
    if (error instanceof Error) this.#fail(error);
    if (this.#state !== 'opening') return;
    this.#state = 'open';
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const { bytes, done } of waiting) this.send(bytes, done);
  }

  #heard(bytes: Buffer, from: RemoteInfo): void {
    const same = from.port === this.port && plainAddress(from.address) === plainAddress(this.address);
    if (same) this.#events?.datagram(bytes);
    else this.#events?.stranger(bytes, sender(from));
  }

  #fail(error: Error): void {
    if (this.#state === 'opening') {
      this.#state = 'failed';
      this.#failure = error;
    }
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const { done } of waiting) done(error);
    this.#events?.failure(error);
  }

  send(bytes: Buffer, done: (error: Error | null) => void): void {
    if (this.#state === 'opening') this.#waiting.push({ bytes, done });
    else if (this.#state === 'open') this.#connected.send(bytes, (error) => done(error));
    else done(this.#failure ?? new Closed('closed'));
  }

  listen(events: SnmpChannelEvents): void {
    this.#events = events;
  }

  ref(): void {
    if (this.#state === 'closed') return;
    this.#connected.ref();
    this.#others.ref();
  }

  unref(): void {
    if (this.#state === 'closed') return;
    this.#connected.unref();
    this.#others.unref();
  }

  close(): void {
    if (this.#state === 'closed') return;
    this.#state = 'closed';
    this.#connected.close();
    this.#others.close();
    for (const { done } of this.#waiting) done(new Closed('closed'));
    this.#waiting = [];
  }
}

/** Opens a channel of its own to one agent; `address` is an IP address, with its zone where it has one. */
export function openChannel(address: string, port: number): SnmpChannel {
  return new OwnChannel(address, port);
}
