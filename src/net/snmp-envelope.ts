import type { Buffer } from 'node:buffer';
import type { SnmpVersion } from '../model/evidence.js';

/**
 * What stands on the outside of an SNMP message (RFC 1157 4.1, RFC 3416 3, RFC 3412 6), read before anything decodes
 * it: whether it is whole, whose question it answers, and how well it is protected.
 */
export interface Envelope {
  readonly version: SnmpVersion;
  /** request-id; for version 3 the msgID. */
  readonly id: number;
  /** `msgFlags` of version 3; community messages protect nothing. */
  readonly level: SecurityLevelName;
  /** msgAuthoritativeEngineID in hex, empty for community messages. */
  readonly engineId: string;
  readonly kind: 'response' | 'report' | 'encrypted' | 'other';
  /** OIDs that a report names. */
  readonly reports: readonly string[];
  /** What is broken in the structure behind the id; null when every length fits. */
  readonly damage: string | null;
}

export type SecurityLevelName = 'noAuthNoPriv' | 'authNoPriv' | 'authPriv';

const INTEGER = 0x02;
const OCTETS = 0x04;
const OID = 0x06;
const SEQUENCE = 0x30;
const RESPONSE = 0xa2;
const REPORT = 0xa8;

interface Element {
  readonly tag: number;
  readonly start: number;
  readonly end: number;
}

/** Thrown and caught in this file only: a length that does not fit. */
class Damage extends Error {}

/** One tag and length (X.690 8.1). The content must fit in front of `limit`. */
function element(bytes: Buffer, at: number, limit: number, tag?: number): Element {
  const found = bytes[at];
  const first = bytes[at + 1];
  if (found === undefined || first === undefined || at + 2 > limit) throw new Damage(`cut at octet ${at}`);
  if (tag !== undefined && found !== tag) throw new Damage(`tag 0x${found.toString(16)} at octet ${at}`);
  let start = at + 2;
  let length = first;
  if (first >= 0x80) {
    const count = first & 0x7f;
    if (count === 0 || count > 4) throw new Damage(`length form 0x${first.toString(16)} at octet ${at + 1}`);
    if (start + count > limit) throw new Damage(`cut at octet ${start}`);
    length = bytes.readUIntBE(start, count);
    start += count;
  }
  if (start + length > limit) throw new Damage(`${start + length - limit} octets missing behind octet ${at}`);
  return { tag: found, start, end: start + length };
}

function integer(bytes: Buffer, at: Element): number {
  const length = at.end - at.start;
  if (at.tag !== INTEGER || length < 1 || length > 6) throw new Damage(`no integer at octet ${at.start}`);
  return bytes.readIntBE(at.start, length);
}

/** OBJECT IDENTIFIER in dotted form (X.690 8.19). Sub-identifiers beyond 32 bits are damage (RFC 2578 3.5). */
function oid(bytes: Buffer, at: Element): string {
  const parts: number[] = [];
  let value = 0;
  for (let i = at.start; i < at.end; i++) {
    const octet = bytes[i] ?? 0;
    value = value * 128 + (octet & 0x7f);
    if (value > 0xffffffff) throw new Damage(`sub-identifier beyond 32 bits at octet ${i}`);
    if (octet < 0x80) {
      parts.push(value);
      value = 0;
    } else if (i === at.end - 1) throw new Damage(`identifier cut at octet ${i}`);
  }
  const [head, ...rest] = parts;
  if (head === undefined || parts.length > 128) throw new Damage(`identifier at octet ${at.start}`);
  const top = Math.min(2, Math.floor(head / 40));
  return [top, head - top * 40, ...rest].join('.');
}

/** Checks a PDU down to each value's length and gives its request id and, of a report, the OIDs. */
function pdu(bytes: Buffer, at: Element): { readonly reports: string[]; readonly damage: string | null } {
  const reports: string[] = [];
  try {
    let next = at.start;
    for (let i = 0; i < 3; i++) {
      const field = element(bytes, next, at.end, INTEGER);
      integer(bytes, field);
      next = field.end;
    }
    const list = element(bytes, next, at.end, SEQUENCE);
    next = list.start;
    while (next < list.end) {
      const binding = element(bytes, next, list.end, SEQUENCE);
      const name = element(bytes, binding.start, binding.end, OID);
      const named = oid(bytes, name);
      const value = element(bytes, name.end, binding.end);
      if (value.end !== binding.end) throw new Damage(`a binding with more than a name and a value at octet ${next}`);
      if (at.tag === REPORT) reports.push(named);
      next = binding.end;
    }
    return { reports, damage: null };
  } catch (error) {
    if (error instanceof Damage) return { reports, damage: error.message };
    throw error;
  }
}

function kindOf(tag: number): Envelope['kind'] {
  if (tag === RESPONSE) return 'response';
  return tag === REPORT ? 'report' : 'other';
}

function community(bytes: Buffer, at: number, outer: Element, version: '1' | '2c', damage: string | null): Envelope {
  const name = element(bytes, at, outer.end, OCTETS);
  const body = lenientElement(bytes, name.end);
  const id = integer(bytes, element(bytes, body.element.start, body.element.end, INTEGER));
  const inner = body.damage === null ? pdu(bytes, body.element) : { reports: [], damage: body.damage };
  const kind = kindOf(body.element.tag);
  return {
    version,
    id,
    level: 'noAuthNoPriv',
    engineId: '',
    kind,
    reports: inner.reports,
    damage: damage ?? inner.damage,
  };
}

function level(flags: number | undefined): SecurityLevelName {
  const bits = (flags ?? 0) & 3;
  if (bits === 3) return 'authPriv';
  if (bits === 2) throw new Damage('privacy without authentication in msgFlags');
  return bits === 1 ? 'authNoPriv' : 'noAuthNoPriv';
}

/** Version 3: HeaderData, msgSecurityParameters (RFC 3414 2.4), then the scoped PDU, plain or encrypted. */
function version3(bytes: Buffer, at: number, outer: Element, damage: string | null): Envelope {
  const header = element(bytes, at, outer.end, SEQUENCE);
  const msgId = element(bytes, header.start, header.end, INTEGER);
  const id = integer(bytes, msgId);
  const size = element(bytes, msgId.end, header.end, INTEGER);
  const flags = element(bytes, size.end, header.end, OCTETS);
  const protection = level(bytes[flags.start]);
  const security = element(bytes, header.end, outer.end, OCTETS);
  const usm = element(bytes, security.start, security.end, SEQUENCE);
  const engine = element(bytes, usm.start, usm.end, OCTETS);
  const base = {
    version: '3' as const,
    id,
    level: protection,
    engineId: bytes.toString('hex', engine.start, engine.end),
  };
  const none = { ...base, kind: 'other' as const, reports: [] };
  try {
    let next = engine.end;
    for (const tag of [INTEGER, INTEGER, OCTETS, OCTETS, OCTETS]) next = element(bytes, next, usm.end, tag).end;
    if (protection === 'authPriv') {
      element(bytes, security.end, outer.end, OCTETS);
      return { ...none, kind: 'encrypted', damage };
    }
    const scoped = element(bytes, security.end, outer.end, SEQUENCE);
    const contextEngine = element(bytes, scoped.start, scoped.end, OCTETS);
    const contextName = element(bytes, contextEngine.end, scoped.end, OCTETS);
    const body = element(bytes, contextName.end, scoped.end);
    const inner = pdu(bytes, body);
    return { ...base, kind: kindOf(body.tag), reports: inner.reports, damage: damage ?? inner.damage };
  } catch (error) {
    if (error instanceof Damage) return { ...none, damage: damage ?? error.message };
    throw error;
  }
}

/**
 * An element whose content may be cut by the end of the datagram: the cut is told, what is there can still be read.
 */
function lenientElement(bytes: Buffer, at: number): { readonly element: Element; readonly damage: string | null } {
  try {
    return { element: element(bytes, at, bytes.length), damage: null };
  } catch (error) {
    const tag = bytes[at];
    const first = bytes[at + 1];
    if (!(error instanceof Damage) || tag === undefined || first === undefined) throw error;
    const start = at + 2 + (first >= 0x80 ? first & 0x7f : 0);
    return { element: { tag, start, end: bytes.length }, damage: error.message };
  }
}

/** Reads the outside of one datagram; null when not even the question it belongs to can be told. Never throws. */
export function readEnvelope(bytes: Buffer): Envelope | null {
  try {
    const { element: outer, damage } = lenientElement(bytes, 0);
    if (outer.tag !== SEQUENCE) return null;
    const trailing = outer.end < bytes.length ? `${bytes.length - outer.end} octets behind the message` : damage;
    const version = element(bytes, outer.start, outer.end, INTEGER);
    switch (integer(bytes, version)) {
      case 0:
        return community(bytes, version.end, outer, '1', trailing);
      case 1:
        return community(bytes, version.end, outer, '2c', trailing);
      case 3:
        return version3(bytes, version.end, outer, trailing);
      default:
        return null;
    }
  } catch (error) {
    if (error instanceof Damage) return null;
    throw error;
  }
}
