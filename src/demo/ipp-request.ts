/** As much of an IPP request as a made-up device needs to answer it (RFC 8010 section 3.1). */
import { OPERATION_NAMES } from '../registry/ipp.generated.js';

export interface IppRequest {
  /** `2.0`. */
  readonly version: string;
  /** Name of the registry, or the number where it has none. */
  readonly operation: string;
  readonly requestId: number;
  /** Operation attributes: each value as text, integers in decimal. */
  readonly attributes: Readonly<Record<string, readonly string[]>>;
}

/** Reads the head and the operation attributes; undefined when the octets are no request. */
export function readIppRequest(body: Buffer): IppRequest | undefined {
  if (body.length < 9 || body[8] !== 1) return undefined;
  const attributes: Record<string, string[]> = Object.create(null);
  let name = '';
  for (let offset = 9; offset + 5 <= body.length && (body[offset] ?? 0) > 0x0f; ) {
    const tag = body[offset] ?? 0;
    const nameLength = body.readUInt16BE(offset + 1);
    const valueAt = offset + 3 + nameLength;
    if (valueAt + 2 > body.length) return undefined;
    const valueLength = body.readUInt16BE(valueAt);
    if (valueAt + 2 + valueLength > body.length) return undefined;
    if (nameLength > 0) name = body.toString('utf8', offset + 3, valueAt);
    attributes[name] ??= [];
    attributes[name]?.push(valueText(tag, body.subarray(valueAt + 2, valueAt + 2 + valueLength)));
    offset = valueAt + 2 + valueLength;
  }
  const operation = body.readUInt16BE(2);
  return {
    version: `${body[0]}.${body[1]}`,
    operation: OPERATION_NAMES[operation] ?? String(operation),
    requestId: body.readInt32BE(4),
    attributes,
  };
}

function valueText(tag: number, octets: Buffer): string {
  if ((tag === 0x21 || tag === 0x23) && octets.length === 4) return String(octets.readInt32BE(0));
  return octets.toString('utf8');
}
