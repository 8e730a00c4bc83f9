import type { Buffer } from 'node:buffer';
import { promisify } from 'node:util';
import { constants, gunzip, inflate, inflateRaw, type ZlibOptions } from 'node:zlib';

export interface UnpackedBody {
  readonly body: Buffer;
  readonly error?: 'body-too-large' | 'body-cut';
}

const unpackers = {
  gzip: promisify<Buffer, ZlibOptions, Buffer>(gunzip),
  deflate: promisify<Buffer, ZlibOptions, Buffer>(inflate),
  // Some servers send the bare stream under the name of the wrapped one.
  'deflate-raw': promisify<Buffer, ZlibOptions, Buffer>(inflateRaw),
};

/** Undoes the content codings of a reply (RFC 9110 8.4.1), never past `maxBytes`. Unknown codings are left as they are. */
export async function unpackBody(body: Buffer, coding: string, maxBytes: number): Promise<UnpackedBody> {
  let unpacked = body;
  try {
    for (const name of coding.toLowerCase().split(',').reverse().slice(0, 3)) {
      unpacked = await undo(unpacked, name.trim(), maxBytes);
    }
    return { body: unpacked };
  } catch (error) {
    const tooLarge = (error as { code?: unknown }).code === 'ERR_BUFFER_TOO_LARGE';
    return { body, error: tooLarge ? 'body-too-large' : 'body-cut' };
  }
}

async function undo(body: Buffer, coding: string, maxBytes: number): Promise<Buffer> {
  if (body.length === 0) return body;
  // A stream cut short gives what it has, as an uncompressed body does.
  const lenient = { maxOutputLength: maxBytes, finishFlush: constants.Z_SYNC_FLUSH };
  if (coding === 'gzip' || coding === 'x-gzip') return unpackers.gzip(body, lenient);
  if (coding !== 'deflate') return body;
  const wrapped = ((body[0] ?? 0) & 0x0f) === 8;
  return wrapped ? unpackers.deflate(body, lenient) : unpackers['deflate-raw'](body, lenient);
}
