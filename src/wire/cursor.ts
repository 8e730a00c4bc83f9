import { Buffer } from 'node:buffer';

/**
 * Reads forward through octets that cannot be trusted. Every read is bounded by what is left: a short read gives
 * `undefined` and leaves the place where it was, so a decoder can say where the octets ended. Numbers are big-endian.
 */
export class ByteCursor {
  #offset = 0;
  readonly #bytes: Buffer;

  constructor(bytes: Uint8Array) {
    this.#bytes = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  get offset(): number {
    return this.#offset;
  }

  get remaining(): number {
    return this.#bytes.length - this.#offset;
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

  #fixed(count: number): Buffer | undefined {
    if (!Number.isInteger(count) || count < 0 || count > this.remaining) return undefined;
    const slice = this.#bytes.subarray(this.#offset, this.#offset + count);
    this.#offset += count;
    return slice;
  }
}
