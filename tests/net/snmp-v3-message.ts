import { Buffer } from 'node:buffer';
import { integer, octets, parts, readInteger, sequence, tlv } from './ber.js';

/** A version 3 message by hand (RFC 3412 6, RFC 3414 2.4), as an agent or a forger would send it. */
export interface V3Message {
  readonly msgId: number;
  /** msgFlags: 1 authenticated, 2 encrypted. */
  readonly flags: number;
  readonly engineId: Buffer;
  readonly boots?: number;
  readonly time?: number;
  readonly user?: string;
  readonly mac?: Buffer;
  readonly salt?: Buffer;
  /** Scoped PDU, or what stands in its place. */
  readonly body: Buffer;
}

export const ENGINE = Buffer.from('8000000001020304', 'hex');

export function v3Message(message: V3Message): Buffer {
  const usm = sequence(
    octets(message.engineId),
    integer(message.boots ?? 1),
    integer(message.time ?? 100),
    octets(message.user ?? ''),
    octets(message.mac ?? ''),
    octets(message.salt ?? ''),
  );
  const header = sequence(integer(message.msgId), integer(65_507), octets(Buffer.from([message.flags])), integer(3));
  return sequence(integer(3), header, octets(usm), message.body);
}

export function scoped(tag: number, requestId: number, bindings: readonly Buffer[], engineId = ENGINE): Buffer {
  const pdu = tlv(tag, Buffer.concat([integer(requestId), integer(0), integer(0), sequence(...bindings)]));
  return sequence(octets(engineId), octets(''), pdu);
}

export interface V3Request {
  readonly msgId: number;
  readonly flags: number;
  /** Null while encrypted. */
  readonly requestId: number | null;
}

/** What the outside of our own request says. */
export function readV3(bytes: Buffer): V3Request {
  const fields = parts(parts(bytes)[0]?.content ?? bytes);
  const header = parts(fields[1]?.content ?? bytes);
  const flags = header[2]?.content[0] ?? 0;
  const body = fields[3];
  const pdu = body?.tag === 0x30 ? parts(body.content)[2] : undefined;
  const id = pdu === undefined ? undefined : parts(pdu.content)[0];
  return {
    msgId: readInteger(header[0]?.content ?? bytes),
    flags,
    requestId: id === undefined ? null : readInteger(id.content),
  };
}
