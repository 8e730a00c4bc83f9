import { createSocket, type Socket } from 'node:dgram';
import { EventEmitter } from 'node:events';
import { isIPv6 } from 'node:net';
import snmp from 'net-snmp';
import type { SnmpCredential } from '../../net/net.js';
import { v3User } from '../../net/snmp-v3.js';
import type { Log } from '../world.js';

/** Something that a device reported by itself. */
export interface Notification {
  /** Whence the datagram came; of a v1 trap that was passed on, the agent it names (RFC 1157 section 4.1.6). */
  readonly address: string;
  readonly kind: 'trap' | 'inform';
  /** snmpTrapOID (RFC 3418) or what RFC 3584 section 3.1 makes of a v1 trap; null when it has none. */
  readonly what: string | null;
}

export interface TrapOptions {
  readonly address: string;
  readonly port: number;
  /** Users of SNMP v3 whose notifications can be read. */
  readonly credentials: readonly SnmpCredential[];
  readonly heard: (notification: Notification) => void;
  readonly log: Log;
}

export interface TrapListener {
  readonly port: number;
  /** Datagrams that were none, or more than can be looked at. */
  readonly refused: () => number;
  readonly close: () => void;
}

/** More in a second are a storm or an attack; a look at a printer needs one. */
const MOST_PER_SECOND = 200;
const MOST_BYTES = 16_384;

/**
 * Listens for SNMP notifications: v1, v2c and v3 traps, and informs, which it acknowledges. Their content is not believed,
 * whatever community they carry: they only say where to look. Rejects when the port can't be had.
 */
export async function listenForTraps(options: TrapOptions): Promise<TrapListener> {
  const socket = createSocket(isIPv6(options.address) ? 'udp6' : 'udp4');
  await new Promise<void>((resolve, reject) => {
    socket.once('error', reject);
    socket.bind(options.port, options.address, () => resolve());
  });
  socket.on('error', (error) => options.log.warn({ err: error.message }, 'the socket for traps failed'));
  const refused = readTraps(socket, socket.address().port, options);
  return { port: socket.address().port, refused, close: () => socket.close() };
}

/** What of a socket the reader of notifications needs. */
export type TrapSocket = Pick<Socket, 'send' | 'close'> & EventEmitter;

/** Reads whatever datagrams the socket hands on. Gives how many were refused so far. Never throws over one. */
export function readTraps(
  socket: TrapSocket,
  port: number,
  options: Pick<TrapOptions, 'credentials' | 'heard'>,
  mostPerSecond = MOST_PER_SECOND,
): () => number {
  const guarded = new GuardedSocket(socket, mostPerSecond);
  const receiver: ReturnType<typeof snmp.createReceiver> = snmp.createReceiver(
    {
      transport: 'udp4',
      port,
      dgramModule: { createSocket: () => guarded },
    } as unknown as Parameters<typeof snmp.createReceiver>[0],
    (error: Error | null, notification: unknown) => {
      if (error) guarded.refused++;
      else if (notification) options.heard(notificationOf(notification as Received));
    },
  );
  // Any community will do for the one datagram that carries it; authentication by key is the library's, and stays.
  guarded.before = (bytes) => {
    const community = communityOf(bytes);
    const authorizer = receiver.getAuthorizer();
    for (const known of authorizer.getCommunities()) authorizer.deleteCommunity(known);
    if (community !== null) authorizer.addCommunity(community);
  };
  for (const credential of options.credentials) {
    const made = credential.version === '3' ? v3User(credential) : undefined;
    if (made !== undefined && 'user' in made) receiver.getAuthorizer().addUser(made.user);
  }
  return () => guarded.refused;
}

interface Received {
  readonly pdu: {
    readonly type: number;
    readonly enterprise?: string;
    readonly agentAddr?: string;
    readonly generic?: number;
    readonly specific?: number;
    readonly varbinds?: readonly { readonly oid: string; readonly value: unknown }[];
  };
  readonly rinfo: { readonly address: string };
}

const SNMP_TRAP_OID = '1.3.6.1.6.3.1.1.4.1.0';
const SNMP_TRAPS = '1.3.6.1.6.3.1.1.5';
/** enterpriseSpecific (RFC 1157 section 4.1.6). */
const ENTERPRISE_SPECIFIC = 6;
/** The library reads a broken one as `0.NaN`, and negative numbers where a trap has them. */
const OID = /^\d+(\.\d+)+$/;
const NO_ADDRESS = /^(0\.0\.0\.0|127\.)/;

function notificationOf({ pdu, rinfo }: Received): Notification {
  const kind = pdu.type === snmp.PduType.InformRequest ? 'inform' : 'trap';
  if (pdu.type !== snmp.PduType.Trap) {
    const oid = pdu.varbinds?.find((varbind) => varbind.oid === SNMP_TRAP_OID)?.value;
    return { address: rinfo.address, kind, what: typeof oid === 'string' && OID.test(oid) ? oid : null };
  }
  const { generic, specific, enterprise, agentAddr } = pdu;
  const what =
    generic === ENTERPRISE_SPECIFIC ? arc(`${enterprise}.0`, specific) : arc(SNMP_TRAPS, (generic ?? -1) + 1);
  const named = typeof agentAddr === 'string' && !NO_ADDRESS.test(agentAddr);
  return { address: named ? agentAddr : rinfo.address, kind, what };
}

/** An OID with one number more; null for a number that no OID has. */
function arc(oid: string, number: number | undefined): string | null {
  const whole = `${oid}.${number}`;
  return OID.test(whole) ? whole : null;
}

/** The community of a v1 or v2c message (RFC 1157 section 4, RFC 3416): behind the version, whatever form its length has. */
function communityOf(bytes: Buffer): string | null {
  const long = (bytes[1] ?? 0) & 0x80 ? (bytes[1] ?? 0) & 0x7f : 0;
  const at = 2 + long;
  const isVersion = bytes[0] === 0x30 && bytes[at] === 0x02 && bytes[at + 1] === 1 && (bytes[at + 2] ?? 9) <= 1;
  const length = bytes[at + 4] ?? 0;
  if (!isVersion || bytes[at + 3] !== 0x04 || length > 127) return null;
  return bytes.toString('utf8', at + 5, at + 5 + length);
}

/** The socket that the library believes it has made: what it throws over a datagram ends here. */
class GuardedSocket extends EventEmitter {
  refused = 0;
  before: (bytes: Buffer) => void = () => undefined;
  private second = 0;
  private inSecond = 0;

  constructor(
    private readonly socket: TrapSocket,
    private readonly mostPerSecond: number,
  ) {
    super();
    socket.on('message', (bytes: Buffer, from: unknown) => {
      if (bytes.length > MOST_BYTES || this.isTooMuch()) {
        this.refused++;
        return;
      }
      try {
        this.before(bytes);
        this.emit('message', bytes, from);
      } catch {
        this.refused++;
      }
    });
  }

  bind(): void {
    // It is bound already, before the library could miss an error.
  }

  send(bytes: Buffer, offset: number, length: number, port: number, address: string, done: () => void): void {
    this.socket.send(bytes, offset, length, port, address, () => done());
  }

  close(): void {
    this.socket.close();
  }

  private isTooMuch(): boolean {
    const second = Math.floor(performance.now() / 1000);
    if (second !== this.second) {
      this.second = second;
      this.inSecond = 0;
    }
    return ++this.inSecond > this.mostPerSecond;
  }
}
