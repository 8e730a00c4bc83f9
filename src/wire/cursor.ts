import { Buffer } from 'node:buffer';

/**
 * Reads forward through octets that cannot be trusted. Every read is bounded by what is left: a short read gives
 * `undefined` and leaves the place where it was, so a decoder can say where the octets ended. Numbers are big-endian.
 */
export class ByteCursor {
  #offset: number;
  readonly #bytes: Buffer;

  constructor(bytes: Uint8Array, offset = 0) {
    this.#bytes = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.#offset = Math.min(Math.max(0, offset), this.#bytes.length);
  }

  get offset(): number {
    return this.#offset;
  }

  get remaining(): number {
    return this.#bytes.length - this.#offset;
  }

  /** The next octet without moving on. */
  peek(): number | undefined {
    return this.#bytes[this.#offset];
  }

  /** Unsigned, 8 bits. */
  u8(): number | undefined {
    return this.#fixed(1)?.readUInt8(0);
  }

  /** Unsigned, 16 bits. */
  u16(): number | undefined {
    return this.#fixed(2)?.readUInt16BE(0);
  }

  /** Unsigned, 32 bits. */
  u32(): number | undefined {
    return this.#fixed(4)?.readUInt32BE(0);
  }

  /** The next `count` octets, a view and not a copy. */
  take(count: number): Buffer | undefined {
    return this.#fixed(count);
  }

  /** Everything that is left. */
  rest(): Buffer {
    return this.#fixed(this.remaining) ?? Buffer.alloc(0);
  }

  #fixed(count: number): Buffer | undefined {
    if (!Number.isInteger(count) || count < 0 || count > this.remaining) return undefined;
    const slice = this.#bytes.subarray(this.#offset, this.#offset + count);
    this.#offset += count;
    return slice;
  }
}
