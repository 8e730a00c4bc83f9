import { Buffer } from 'node:buffer';

/** A whole number from 0 and below the bound. */
export type Draw = (below: number) => number;

/** Numbers from a seed: a 32-bit xorshift, so that a failing run can be repeated. */
export function numbers(seed: number): Draw {
  let state = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) | 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

/** Octets at which formats turn: ends of ranges of lengths, tags of BER and IPP, pointers of DNS, line ends. */
const EDGES = [0x00, 0x01, 0x02, 0x03, 0x04, 0x06, 0x0a, 0x0c, 0x0d, 0x30, 0x34, 0x37, 0x3b, 0x3d, 0x4a, 0x7f];
const MORE_EDGES = [0x80, 0x81, 0x82, 0x84, 0xa2, 0xa8, 0xc0, 0xff];
const ALL_EDGES = [...EDGES, ...MORE_EDGES];
/** A reply never grows beyond this by mutation: what is large by itself is another test's matter. */
const MOST_OCTETS = 64 * 1024;

type Change = (bytes: Buffer, at: number, draw: Draw, others: readonly Buffer[]) => Buffer;

const set =
  (value: (draw: Draw) => number): Change =>
  (bytes, at, draw) => {
    const out = Buffer.from(bytes);
    if (out.length > 0) out[at] = value(draw);
    return out;
  };

const CHANGES: readonly Change[] = [
  set((draw) => draw(256)),
  set((draw) => ALL_EDGES[draw(ALL_EDGES.length)] ?? 0),
  (bytes, at, draw) => {
    const out = Buffer.from(bytes);
    if (out.length > 0) out[at] = (out[at] ?? 0) ^ (1 << draw(8));
    return out;
  },
  // A length field of two octets, at or beside an end of its range.
  (bytes, at, draw) => {
    const out = Buffer.from(bytes);
    if (at + 2 <= out.length) out.writeUInt16BE([0, 1, 0x7fff, 0x8000, 0xffff, out.length][draw(6)] ?? 0, at);
    return out;
  },
  (bytes, at) => bytes.subarray(0, at),
  (bytes, at, draw) => Buffer.concat([bytes.subarray(0, at), Buffer.from([draw(256)]), bytes.subarray(at)]),
  (bytes, at, draw) => Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1 + draw(8))]),
  // A part said twice: repeated attributes, rows and records.
  (bytes, at, draw) => {
    const end = Math.min(bytes.length, at + 1 + draw(64));
    return Buffer.concat([bytes.subarray(0, end), bytes.subarray(at, end), bytes.subarray(end)]);
  },
  // The rest of another reply.
  (bytes, at, draw, others) => {
    const other = others[draw(Math.max(1, others.length))] ?? bytes;
    return Buffer.concat([bytes.subarray(0, at), other.subarray(draw(other.length + 1))]);
  },
];

/** Makes one to four changes, each at a drawn place. `others`: replies whose ends may be put on. */
export function mutate(bytes: Buffer, draw: Draw, others: readonly Buffer[] = []): Buffer {
  let out = bytes;
  for (let left = 1 + draw(4); left > 0; left--) {
    const change = CHANGES[draw(CHANGES.length)];
    if (change !== undefined) out = change(out, draw(Math.max(1, out.length)), draw, others);
  }
  return out.subarray(0, MOST_OCTETS);
}
