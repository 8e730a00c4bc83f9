import { Buffer } from 'node:buffer';
import type { SnmpCredential } from './net.js';
import { readEnvelope } from './snmp-envelope.js';
import { openSnmpOver } from './snmp-guard.js';
import type { SnmpChannel } from './snmp-socket.js';

/** The same question under another id: request-id, or msgID of version 3. The id takes four octets, the highest bit unset. */
export type Question = (id: number) => Buffer;

/** The group that every agent has (RFC 3418 section 2). */
const SYSTEM = '1.3.6.1.2.1.1';
/** The library draws its ids; nine of ten take the four octets that are wanted. */
const MOST_DRAWN = 64;
const INTEGER_OF_FOUR = [0x02, 0x04];

/**
 * The question for the first object of the system group, as the library writes it for this credential. Null for a credential that
 * can't be used here.
 */
export function questionWith(credential: SnmpCredential): Question | null {
  for (let drawn = 0; drawn < MOST_DRAWN; drawn += 1) {
    const bytes = firstDatagram(credential);
    const envelope = bytes === null ? null : readEnvelope(bytes);
    if (bytes === null || envelope === null) return null;
    const id = Buffer.alloc(4);
    id.writeUInt32BE(envelope.id);
    // The first octet of a four-octet integer is no mere sign (X.690 8.3.2).
    const place = envelope.id < 0x0080_0000 ? -1 : bytes.indexOf(Buffer.concat([Buffer.from(INTEGER_OF_FOUR), id]));
    if (place === -1) continue;
    return (wanted) => {
      const copy = Buffer.from(bytes);
      copy.writeUInt32BE(wanted, place + INTEGER_OF_FOUR.length);
      return copy;
    };
  }
  return null;
}

/** What a session with this credential says first, caught before it goes out. */
function firstDatagram(credential: SnmpCredential): Buffer | null {
  let caught: Buffer | null = null;
  const channel: SnmpChannel = {
    send: (bytes) => {
      caught ??= Buffer.from(bytes);
    },
    listen: () => undefined,
    ref: () => undefined,
    unref: () => undefined,
    close: () => undefined,
  };
  const nowhere = { address: '192.0.2.1', port: 161, credential, timeoutMs: 1000, retries: 0 };
  const client = openSnmpOver(nowhere, () => channel);
  void client.getNext([SYSTEM]);
  client.close();
  return caught;
}
