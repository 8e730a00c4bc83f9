import type { Buffer } from 'node:buffer';
import type {
  NeighbourEntryValue,
  Outcome,
  RouteValue,
  ServiceInstance,
  SnmpVersion,
  TlsInfo,
} from '../model/evidence.js';

/**
 * The only way to the network, the kernel's tables and the clock. Everything that does input or output takes one of
 * these, so that a test may hand in another. Nothing here throws for what the network did: failures are values.
 */
export interface Net {
  now(): Date;
  /** Milliseconds from an arbitrary start, never going back. */
  monotonic(): number;
  tcpConnect(host: string, port: number, timeoutMs: number): Promise<TcpResult>;
  /** Sends a few octets and reads the reply. Only for what a person has asked for or the configuration allows. */
  tcpExchange(request: TcpExchange): Promise<TcpExchangeResult>;
  http(request: HttpRequest): Promise<HttpResult>;
  resolve(name: string, timeoutMs: number): Promise<ResolveResult>;
  /** How this machine would reach an address; null when its table can't be read. */
  route(address: string): Promise<RouteValue | null>;
  /** Makes the kernel resolve an on-link address afresh (a datagram to its discard port), then reads the table. */
  neighbour(address: string, timeoutMs: number): Promise<NeighbourEntryValue>;
  /** The whole table as it stands. */
  neighbours(): Promise<readonly NeighbourRow[]>;
  /** Own on-link subnets, loopback left out. */
  subnets(): Promise<readonly OwnSubnet[]>;
  /**
   * Round trip by the system's unprivileged echo, null when there is no such way here or no reply. With `octets` of data: one of several
   * such that must not be cut on the way, and `failed` where somebody says that they are too long.
   */
  ping(address: string, timeoutMs: number, octets?: number): Promise<{ outcome: Outcome; rttMs: number | null }>;
  /** Service instances announced on this machine's links. `listening` tells them as they come, and may end it early. */
  browse(
    types: readonly string[],
    listenMs: number,
    listening?: Listening<ServiceInstance>,
  ): Promise<readonly ServiceInstance[]>;
  /** Print devices of this machine's links that answer a WS-Discovery probe. */
  discover(listenMs: number, listening?: Listening<DiscoveredDevice>): Promise<readonly DiscoveredDevice[]>;
  /** A means to make the kernel look for many on-link addresses. Close it. */
  rouser(): Rouser;
  /**
   * The on-link addresses that the kernel has been asked for, as cheaply as the system tells: each with its hardware
   * address, or null while nobody has answered. Empty where the system tells nothing.
   */
  resolved(): Promise<ReadonlyMap<string, string | null>>;
  snmp(options: SnmpOptions): SnmpClient;
}

/** For what is heard over a while. */
export interface Listening<T> {
  readonly signal?: AbortSignal;
  /** Everything heard so far, told again and again while it grows. */
  readonly onHeard?: (heard: readonly T[]) => void;
}

/** A print device that answered a WS-Discovery probe (OASIS WS-Discovery 1.1 section 5). */
export interface DiscoveredDevice {
  /** Where the answer came from; a link-local IPv6 address with its zone. */
  readonly address: string;
  /** Its endpoint reference, where that is a UUID: lower case, without `urn:uuid:`. */
  readonly uuid: string | null;
  /** Local names of its types (`PrintDeviceType`). */
  readonly types: readonly string[];
}

/** Sends an empty datagram to an address's discard port: to deliver it the kernel must find out the hardware address. */
export interface Rouser {
  rouse(address: string): void;
  close(): void;
}

export interface TcpResult {
  readonly outcome: Outcome;
  /** `open` or a system error code. */
  readonly value: string;
  readonly tookMs: number;
}

export interface TcpExchange {
  readonly host: string;
  readonly port: number;
  /** Everything that is ever sent. */
  readonly send: Buffer;
  /** For the whole exchange, closing included. */
  readonly deadlineMs: number;
  /** Octets of the reply that are kept; more ends the exchange. */
  readonly maxBytes: number;
  /** True once the reply is whole. Without it only the other side's close, or the deadline, ends the reply. */
  readonly isComplete?: (received: Buffer) => boolean;
}

/**
 * `closed`: the other side closed. `complete`: the reply was whole. `too-long`: the cap was met. `deadline`: time ran
 * out. `broken`: the connection was cut or never came about, see `error`.
 */
export type TcpEnd = 'closed' | 'complete' | 'too-long' | 'deadline' | 'broken';

export interface TcpExchangeResult {
  /** `answered`: at least one octet came. `silent`: taken, or not even that, and nothing said. Else the failure's. */
  readonly outcome: Outcome;
  /** The connection was taken. */
  readonly connected: boolean;
  readonly received: Buffer;
  readonly end: TcpEnd;
  /** System code of a failure. */
  readonly error?: string;
  readonly tookMs: number;
}

export interface HttpRequest {
  readonly url: string;
  readonly method: 'GET' | 'POST';
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: Buffer;
  /** Sends the body in chunks (RFC 9112 7.1) rather than with its length, for a server that wants it so. */
  readonly chunked?: boolean;
  /** Never a second time, whatever becomes of it: it goes over a connection of its own. */
  readonly once?: boolean;
  /** For the whole exchange. */
  readonly timeoutMs: number;
  /** For the connection alone, where a reply may take longer than a connection may. */
  readonly connectTimeoutMs?: number;
  readonly maxBytes: number;
}

export interface HttpResult {
  /** `answered`: a complete reply with some status. Otherwise the transport broke, see `error`. */
  readonly outcome: Outcome;
  readonly status: number | null;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Buffer;
  /** Where the reply came from, after redirects. */
  readonly url?: string;
  readonly tls?: TlsInfo;
  /** System or own code: `ECONNREFUSED`, `ETIMEDOUT`, `body-too-large`, `body-cut`, `tls` … */
  readonly error?: string;
  readonly tookMs: number;
}

export interface ResolveResult {
  readonly outcome: Outcome;
  readonly addresses: readonly string[];
  readonly code?: string;
  readonly tookMs: number;
}

export interface NeighbourRow extends NeighbourEntryValue {
  readonly address: string;
}

export interface OwnSubnet {
  readonly interface: string;
  /** Own address. */
  readonly address: string;
  readonly cidr: string;
}

/** SNMP security: one entry of the list that is tried in order. Secrets stay inside; `label` is what may be shown. */
export type SnmpCredential =
  | { readonly version: '1' | '2c'; readonly community: string; readonly label: string }
  | {
      readonly version: '3';
      readonly user: string;
      readonly level: 'noAuthNoPriv' | 'authNoPriv' | 'authPriv';
      readonly authProtocol?: string;
      readonly authKey?: string;
      readonly privProtocol?: string;
      readonly privKey?: string;
      readonly context?: string;
      readonly label: string;
    };

export interface SnmpOptions {
  readonly address: string;
  readonly port: number;
  readonly credential: SnmpCredential;
  readonly timeoutMs: number;
  readonly retries: number;
}

export interface RawVarbind {
  readonly oid: string;
  /** ASN.1 application type name: `Integer`, `OctetString`, `Counter32`, `TimeTicks`, `NoSuchInstance`, `EndOfMibView` … */
  readonly type: string;
  readonly value: number | bigint | string | Buffer | null;
}

export interface SnmpReply {
  readonly outcome: Outcome;
  readonly varbinds: readonly RawVarbind[];
  /** Error-status name of RFC 3416 (`tooBig`, `noSuchName`), a report's name (`usmStatsUnknownUserNames`), or a system code. */
  readonly error?: string;
  /** error-index of RFC 3416: which object, from 1, the error-status speaks of. */
  readonly errorIndex?: number;
  readonly problems: readonly string[];
}

/** A guarded session with one agent under one credential. Safe to use for several requests at once. */
export interface SnmpClient {
  readonly version: SnmpVersion;
  get(oids: readonly string[]): Promise<SnmpReply>;
  getBulk(oids: readonly string[], nonRepeaters: number, maxRepetitions: number): Promise<SnmpReply>;
  getNext(oids: readonly string[]): Promise<SnmpReply>;
  /** Requests sent so far, repeats included. */
  readonly requests: number;
  close(): void;
}
