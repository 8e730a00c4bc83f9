import { Buffer } from 'node:buffer';
import { createSocket, type RemoteInfo, type Socket } from 'node:dgram';
import {
  END_OF_MIB_VIEW,
  integer,
  NO_SUCH_INSTANCE,
  octets,
  oid,
  parts,
  readInteger,
  readOid,
  sequence,
  tlv,
} from './ber.js';

/** A community request as it came. */
export interface Request {
  /** 0: version 1, 1: version 2c. */
  readonly version: number;
  readonly community: string;
  readonly id: number;
  readonly kind: 'get' | 'next' | 'bulk';
  readonly nonRepeaters: number;
  readonly maxRepetitions: number;
  readonly oids: readonly string[];
  readonly bytes: Buffer;
}

/** Name and encoded value. */
export type Binding = readonly [oid: string, value: Buffer];

const KINDS: Readonly<Record<number, Request['kind']>> = { 160: 'get', 161: 'next', 165: 'bulk' };

export function readRequest(bytes: Buffer): Request {
  const [outer] = parts(bytes);
  const [version, community, pdu] = parts(outer?.content ?? bytes);
  const [id, second, third, list] = parts(pdu?.content ?? bytes);
  const number = (part: { content: Buffer } | undefined) => (part === undefined ? -1 : readInteger(part.content));
  return {
    version: number(version),
    community: community?.content.toString('latin1') ?? '',
    id: number(id),
    kind: KINDS[pdu?.tag ?? 0] ?? 'get',
    nonRepeaters: number(second),
    maxRepetitions: number(third),
    oids: parts(list?.content ?? bytes).map(({ content }) => readOid(parts(content)[0]?.content ?? content)),
    bytes,
  };
}

export interface Reply {
  readonly id?: number;
  readonly version?: number;
  readonly community?: string;
  readonly status?: number;
  readonly index?: number;
  readonly bindings?: readonly Binding[];
  /** PDU tag; a response unless said otherwise. */
  readonly tag?: number;
}

/** A well-formed reply, with any field other than it should be. */
export function response(request: Request, reply: Reply): Buffer {
  const bindings = (reply.bindings ?? []).map(([name, value]) => sequence(oid(name), value));
  return sequence(
    integer(reply.version ?? request.version),
    octets(reply.community ?? request.community),
    tlv(
      reply.tag ?? 0xa2,
      Buffer.concat([
        integer(reply.id ?? request.id),
        integer(reply.status ?? 0),
        integer(reply.index ?? 0),
        sequence(...bindings),
      ]),
    ),
  );
}

export function compare(a: string, b: string): number {
  const left = a.split('.').map(Number);
  const right = b.split('.').map(Number);
  for (let i = 0; i < Math.min(left.length, right.length); i++) {
    const difference = (left[i] ?? 0) - (right[i] ?? 0);
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

/** Objects of an honest agent in their order. */
export class Tree {
  readonly #objects: readonly Binding[];

  constructor(objects: Readonly<Record<string, Buffer>>) {
    this.#objects = Object.entries(objects).sort(([a], [b]) => compare(a, b));
  }

  get size(): number {
    return this.#objects.length;
  }

  get(name: string): Binding {
    const found = this.#objects[this.#place(name) - 1];
    return found?.[0] === name ? found : [name, NO_SUCH_INSTANCE];
  }

  next(name: string): Binding {
    return this.#objects[this.#place(name)] ?? [name, END_OF_MIB_VIEW];
  }

  /** How many objects are not behind `name`. */
  #place(name: string): number {
    let low = 0;
    let high = this.#objects.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      const known = this.#objects[middle]?.[0] ?? '';
      if (compare(known, name) > 0) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  bulk(request: Request): Binding[] {
    const single = request.oids.slice(0, request.nonRepeaters).map((name) => this.next(name));
    const out = [...single];
    let names = request.oids.slice(request.nonRepeaters);
    for (let i = 0; i < request.maxRepetitions && names.length > 0; i++) {
      const row = names.map((name) => this.next(name));
      out.push(...row);
      names = row.map(([name]) => name);
      if (row.every(([, value]) => value === END_OF_MIB_VIEW)) break;
    }
    return out;
  }
}

export interface Manners {
  /** Values in one reply at most. */
  readonly maxValues?: number;
  /** Octets of one reply at most; a GET that does not fit is tooBig. */
  readonly maxOctets?: number;
  readonly community?: string;
  /** Versions it speaks: 0, 1. */
  readonly versions?: readonly number[];
  readonly ignoresBulk?: boolean;
}

/** What an agent with these manners answers; undefined for nothing. */
export function honest(tree: Tree, request: Request, manners: Manners = {}): Buffer | undefined {
  if (request.community !== (manners.community ?? 'public')) return undefined;
  if (!(manners.versions ?? [0, 1]).includes(request.version)) return undefined;
  if (request.kind === 'bulk' && manners.ignoresBulk) return undefined;
  let bindings =
    request.kind === 'bulk'
      ? tree.bulk(request)
      : request.oids.map((name) => (request.kind === 'get' ? tree.get(name) : tree.next(name)));
  const missing = bindings.findIndex(([, value]) => value === NO_SUCH_INSTANCE || value === END_OF_MIB_VIEW);
  if (request.version === 0 && missing >= 0)
    return response(request, {
      status: 2,
      index: missing + 1,
      bindings: request.oids.map((name) => [name, octets('')]),
    });
  bindings = bindings.slice(0, manners.maxValues ?? bindings.length);
  let reply = response(request, { bindings });
  while (reply.length > (manners.maxOctets ?? 65_507)) {
    if (request.kind !== 'bulk' || bindings.length <= 1) return response(request, { status: 1 });
    bindings = bindings.slice(0, -1);
    reply = response(request, { bindings });
  }
  return reply;
}

export type Handler = (request: Request, from: RemoteInfo, socket: Socket) => Buffer | readonly Buffer[] | undefined;

export interface Agent {
  readonly address: string;
  readonly port: number;
  /** Every datagram that came. */
  readonly seen: Buffer[];
  close(): Promise<void>;
}

/** An agent of versions 1 and 2c passes over a message of version 3 (RFC 3412 7.2), whose form is another. */
function answered(handler: Handler, bytes: Buffer, from: RemoteInfo, socket: Socket): ReturnType<Handler> {
  const [version] = parts(parts(bytes)[0]?.content ?? bytes);
  return version !== undefined && readInteger(version.content) === 3
    ? undefined
    : handler(readRequest(bytes), from, socket);
}

/** A socket that gives what the handler says, `delayMs` later. `raw` gets the datagram itself, for version 3. */
export async function startAgent(
  address: string,
  handler: Handler | { readonly raw: (bytes: Buffer, from: RemoteInfo, socket: Socket) => Buffer | undefined },
  delayMs = 0,
  port = 0,
): Promise<Agent> {
  const socket = createSocket(address.includes(':') ? 'udp6' : 'udp4');
  const seen: Buffer[] = [];
  socket.on('message', (bytes, from) => {
    seen.push(bytes);
    const answer =
      typeof handler === 'function' ? answered(handler, bytes, from, socket) : handler.raw(bytes, from, socket);
    const replies =
      answer === undefined ? [] : Array.isArray(answer) ? (answer as readonly Buffer[]) : [answer as Buffer];
    const send = () => {
      for (const reply of replies) socket.send(reply, from.port, from.address);
    };
    if (delayMs === 0) send();
    else setTimeout(send, delayMs);
  });
  await new Promise<void>((resolve, reject) => {
    socket.once('error', reject);
    socket.bind(port, address, resolve);
  });
  return {
    address,
    port: socket.address().port,
    seen,
    close: () => new Promise((resolve) => socket.close(() => resolve())),
  };
}
