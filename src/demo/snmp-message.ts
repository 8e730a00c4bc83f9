/** SNMP v1 and v2c messages as an agent sees them (RFC 1157 section 4, RFC 3416 section 3). */
import { element, integerContent, oidContent, readElement, readElements, readInteger, readOid } from './ber.js';
import type { SnmpObject, SnmpType } from './snmp-objects.js';

export const PDU = { get: 0xa0, getNext: 0xa1, response: 0xa2, set: 0xa3, getBulk: 0xa5 } as const;

/** error-status (RFC 3416 section 3; the first six also RFC 1157). */
export const ERROR = { none: 0, tooBig: 1, noSuchName: 2, readOnly: 4, genErr: 5, notWritable: 17 } as const;

export interface SnmpRequest {
  /** As on the wire: 0 is SNMPv1, 1 is SNMPv2c. */
  readonly version: number;
  readonly community: string;
  readonly pdu: number;
  readonly requestId: number;
  /** non-repeaters in a GetBulkRequest. */
  readonly second: number;
  /** max-repetitions in a GetBulkRequest. */
  readonly third: number;
  readonly oids: readonly string[];
}

/** One variable binding of a reply. The exceptions are those of RFC 3416 section 3. */
export type Varbind = SnmpObject | { readonly oid: string; readonly exception: keyof typeof EXCEPTION };

const EXCEPTION = { null: 0x05, noSuchObject: 0x80, noSuchInstance: 0x81, endOfMibView: 0x82 } as const;

const TYPE_TAG: Readonly<Record<SnmpType, number>> = {
  Integer: 0x02,
  OctetString: 0x04,
  ObjectIdentifier: 0x06,
  IpAddress: 0x40,
  Counter32: 0x41,
  Gauge32: 0x42,
  TimeTicks: 0x43,
  Counter64: 0x46,
};

/** Reads a request; undefined for anything that is none. */
export function readRequest(datagram: Buffer): SnmpRequest | undefined {
  const message = readElement(datagram, 0);
  if (message?.tag !== 0x30) return undefined;
  const [version, community, pdu] = readElements(message.content);
  if (version?.tag !== 0x02 || community?.tag !== 0x04 || !pdu) return undefined;
  const [requestId, second, third, list] = readElements(pdu.content);
  if (!requestId || !second || !third || list?.tag !== 0x30) return undefined;
  const oids: string[] = [];
  for (const pair of readElements(list.content)) {
    const [oid] = readElements(pair.content);
    if (oid?.tag !== 0x06) return undefined;
    oids.push(readOid(oid.content));
  }
  return {
    version: readInteger(version.content),
    community: community.content.toString('latin1'),
    pdu: pdu.tag,
    requestId: readInteger(requestId.content),
    second: readInteger(second.content),
    third: readInteger(third.content),
    oids,
  };
}

/** Octets of one variable binding. */
export function writeVarbind(varbind: Varbind): Buffer {
  const name = element(0x06, oidContent(varbind.oid));
  if ('exception' in varbind) return element(0x30, name, element(EXCEPTION[varbind.exception]));
  return element(0x30, name, element(TYPE_TAG[varbind.type], valueContent(varbind)));
}

function valueContent({ type, value }: SnmpObject): Buffer {
  const plain = typeof value === 'function' ? value() : value;
  if (Buffer.isBuffer(plain)) return plain;
  if (type === 'OctetString') return Buffer.from(String(plain), 'utf8');
  if (type === 'ObjectIdentifier') return oidContent(String(plain));
  if (type === 'IpAddress') return Buffer.from(String(plain).split('.').map(Number));
  return integerContent(typeof plain === 'number' ? Math.trunc(plain) : BigInt(plain));
}

/** A Response-PDU in its message. */
export function writeResponse(
  request: SnmpRequest,
  varbinds: readonly Buffer[],
  errorStatus: number = ERROR.none,
  errorIndex = 0,
): Buffer {
  return element(
    0x30,
    element(0x02, integerContent(request.version)),
    element(0x04, Buffer.from(request.community, 'latin1')),
    element(
      PDU.response,
      element(0x02, integerContent(request.requestId)),
      element(0x02, integerContent(errorStatus)),
      element(0x02, integerContent(errorIndex)),
      element(0x30, ...varbinds),
    ),
  );
}
