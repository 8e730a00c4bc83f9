import type { IppAttributes } from '../../model/evidence.js';

/** One attribute group (RFC 8010 3.1.2). */
export interface IppGroup {
  /** Registered name (`printer-attributes-tag`), or `0x0b` when nobody registered it. */
  readonly tag: string;
  readonly attributes: IppAttributes;
}

/**
 * A request or a reply as it came (RFC 8010 3.1.1). `code` is the operation of a request and the status of a reply.
 * `dataOffset` is where document data begins, null when the end-of-attributes tag never came.
 */
export interface IppMessage {
  /** `2.0`: major and minor number. */
  readonly version: string;
  readonly code: number;
  /** Unsigned, as on the wire. */
  readonly requestId: number;
  readonly groups: readonly IppGroup[];
  readonly dataOffset: number | null;
  /** Names of the deviations that were forgiven, each once. */
  readonly deviations: readonly string[];
  /** The same as sentences. */
  readonly problems: readonly string[];
}

/** What the octets came to. `message` is null when they are no IPP message at all; `problems` then says why. */
export type IppDecoded =
  | { readonly message: IppMessage; readonly problems: readonly string[] }
  | { readonly message: null; readonly problems: readonly string[] };
