import { createHash } from 'node:crypto';
import { promisify } from 'node:util';
import { brotliCompress, constants, gzip } from 'node:zlib';

/** Content codings (RFC 9110, section 8.4.1) that answers are sent in, the one that is liked best first. */
export const CODINGS = ['br', 'gzip'] as const;
export type Coding = (typeof CODINGS)[number];

/** Octets below which it is not worth the time. */
export const LEAST_COMPRESSED = 2_048;
/** At their usual depth they take longer than they save on a local network. */
const BROTLI = { params: { [constants.BROTLI_PARAM_QUALITY]: 1 } };
const GZIP = { level: 2 };

const COMPRESSED: Readonly<Record<Coding, (octets: Buffer) => Promise<Buffer>>> = {
  br: (octets) => promisify(brotliCompress)(octets, BROTLI),
  gzip: (octets) => promisify(gzip)(octets, GZIP),
};

/** A body as octets. Each of its forms is made once, when it is first wanted. */
export class Written {
  private name: string | undefined;
  private readonly coded = new Map<Coding, Promise<Buffer>>();

  constructor(readonly octets: Buffer) {}

  /** Weak: the same document may be sent compressed in one way or another (RFC 9110, section 8.8.1). */
  get tag(): string {
    this.name ??= `W/"${createHash('sha256').update(this.octets).digest('base64url').slice(0, 22)}"`;
    return this.name;
  }

  in(coding: Coding): Promise<Buffer> {
    const known = this.coded.get(coding) ?? COMPRESSED[coding](this.octets);
    this.coded.set(coding, known);
    return known;
  }
}

/** A document that is answered several times is written down, and compressed, once. */
const shared = new WeakMap<object, Written>();

export function writtenOf(body: unknown): Written {
  if (typeof body !== 'object' || body === null) return new Written(Buffer.from(String(body)));
  const before = shared.get(body);
  if (before !== undefined) return before;
  const now = new Written(Buffer.isBuffer(body) ? body : Buffer.from(`${JSON.stringify(body)}\n`));
  shared.set(body, now);
  return now;
}
