import { Buffer } from 'node:buffer';

/** Basic encoding rules by hand (X.690), so that a test may also break them. */

export function tlv(tag: number, content: Buffer): Buffer {
  const { length } = content;
  if (length < 0x80) return Buffer.concat([Buffer.from([tag, length]), content]);
  const octets: number[] = [];
  for (let rest = length; rest > 0; rest = Math.floor(rest / 256)) octets.unshift(rest % 256);
  return Buffer.concat([Buffer.from([tag, 0x80 | octets.length, ...octets]), content]);
}

export function sequence(...parts: readonly Buffer[]): Buffer {
  return tlv(0x30, Buffer.concat(parts));
}

/** A signed integer in as few octets as it needs; `tag` for Counter32 and its kin. */
export function integer(value: number | bigint, tag = 0x02): Buffer {
  let rest = BigInt(value);
  const octets: number[] = [];
  for (;;) {
    const octet = Number(BigInt.asUintN(8, rest));
    octets.unshift(octet);
    rest >>= 8n;
    if ((rest === 0n && octet < 0x80) || (rest === -1n && octet >= 0x80)) return tlv(tag, Buffer.from(octets));
  }
}

export function octets(value: Buffer | string, tag = 0x04): Buffer {
  return tlv(tag, Buffer.isBuffer(value) ? value : Buffer.from(value, 'utf8'));
}

export const NULL = Buffer.from([0x05, 0x00]);
export const NO_SUCH_OBJECT = Buffer.from([0x80, 0x00]);
export const NO_SUCH_INSTANCE = Buffer.from([0x81, 0x00]);
export const END_OF_MIB_VIEW = Buffer.from([0x82, 0x00]);

function base128(value: number): number[] {
  const out = [value % 128];
  for (let rest = Math.floor(value / 128); rest > 0; rest = Math.floor(rest / 128)) out.unshift(0x80 | (rest % 128));
  return out;
}

export function oid(dotted: string): Buffer {
  const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number);
  return tlv(0x06, Buffer.from([first * 40 + second, ...rest].flatMap(base128)));
}

interface Part {
  readonly tag: number;
  readonly content: Buffer;
}

/** The elements inside a constructed one. Meant for what our own side sends: throws on anything broken. */
export function parts(bytes: Buffer): Part[] {
  const out: Part[] = [];
  for (let at = 0; at < bytes.length; ) {
    const tag = bytes.readUInt8(at);
    let length = bytes.readUInt8(at + 1);
    at += 2;
    if (length >= 0x80) {
      const count = length & 0x7f;
      length = bytes.readUIntBE(at, count);
      at += count;
    }
    out.push({ tag, content: bytes.subarray(at, at + length) });
    at += length;
  }
  return out;
}

export function readOid(content: Buffer): string {
  const numbers: number[] = [];
  let value = 0;
  for (const octet of content) {
    value = value * 128 + (octet & 0x7f);
    if (octet < 0x80) {
      numbers.push(value);
      value = 0;
    }
  }
  const [head = 0, ...rest] = numbers;
  const top = Math.min(2, Math.floor(head / 40));
  return [top, head - top * 40, ...rest].join('.');
}

export function readInteger(content: Buffer): number {
  return content.readIntBE(0, content.length);
}
