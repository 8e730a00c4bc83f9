/**
 * The few BER forms that a made-up SNMP agent and its certificates need (X.690; RFC 3417 section 8).
 * Kept apart from the program's own SNMP side on purpose: a test bench must not share its subject's faults.
 */

/** One element read: its tag octet, its content, and where the next one begins. */
export interface Element {
  readonly tag: number;
  readonly content: Buffer;
  readonly next: number;
}

/** Reads one element at `offset`; undefined when the octets don't hold a whole one. */
export function readElement(octets: Buffer, offset: number): Element | undefined {
  const tag = octets[offset];
  const first = octets[offset + 1];
  if (tag === undefined || first === undefined) return undefined;
  const long = first & 0x80 ? first & 0x7f : 0;
  if (long > 4 || offset + 2 + long > octets.length) return undefined;
  const length = long === 0 ? first : octets.readUIntBE(offset + 2, long);
  const start = offset + 2 + long;
  if (start + length > octets.length) return undefined;
  return { tag, content: octets.subarray(start, start + length), next: start + length };
}

/** All elements of a content, up to the first that is not whole. */
export function readElements(content: Buffer): Element[] {
  const found: Element[] = [];
  for (let offset = 0; offset < content.length; ) {
    const element = readElement(content, offset);
    if (!element) break;
    found.push(element);
    offset = element.next;
  }
  return found;
}

/** A signed integer of up to six octets, as SNMP's fields have it. */
export function readInteger(content: Buffer): number {
  return content.length === 0 || content.length > 6 ? 0 : content.readIntBE(0, content.length);
}

/** Dotted form of an OBJECT IDENTIFIER's content (X.690 8.19). */
export function readOid(content: Buffer): string {
  const arcs: number[] = [];
  let arc = 0;
  for (const octet of content) {
    arc = arc * 128 + (octet & 0x7f);
    if (octet & 0x80) continue;
    if (arcs.length === 0) {
      const top = Math.min(Math.floor(arc / 40), 2);
      arcs.push(top, arc - top * 40);
    } else {
      arcs.push(arc);
    }
    arc = 0;
  }
  return arcs.join('.');
}

/** One element: tag, definite length, content. */
export function element(tag: number, ...contents: readonly Buffer[]): Buffer {
  const content = Buffer.concat(contents);
  const { length } = content;
  if (length < 0x80) return Buffer.concat([Buffer.from([tag, length]), content]);
  const octets = length < 0x100 ? [length] : length < 0x10000 ? [length >> 8, length & 0xff] : undefined;
  if (!octets)
    return Buffer.concat([Buffer.from([tag, 0x83, length >> 16, (length >> 8) & 0xff, length & 0xff]), content]);
  return Buffer.concat([Buffer.from([tag, 0x80 | octets.length, ...octets]), content]);
}

/** Shortest two's complement form (X.690 8.3). */
export function integerContent(value: number | bigint): Buffer {
  const octets: number[] = [];
  let rest = BigInt(value);
  do {
    octets.unshift(Number(rest & 0xffn));
    rest >>= 8n;
  } while (!(rest === 0n && (octets[0] ?? 0) < 0x80) && !(rest === -1n && (octets[0] ?? 0) >= 0x80));
  return Buffer.from(octets);
}

/** Content of an OBJECT IDENTIFIER from its dotted form. */
export function oidContent(oid: string): Buffer {
  const [first = 0, second = 0, ...rest] = oid.split('.').map(Number);
  return Buffer.from([first * 40 + second, ...rest].flatMap(arcOctets));
}

function arcOctets(arc: number): number[] {
  const octets = [arc % 128];
  for (let rest = Math.floor(arc / 128); rest > 0; rest = Math.floor(rest / 128)) octets.unshift((rest % 128) | 0x80);
  return octets;
}
