import type { LayerId } from './layers.js';

/** `outfeed.printers/1`: every printer that the agent watches, and how it is. */
export const PRINTERS_SCHEMA = 'outfeed.printers/1';

export interface WatchedPrinter {
  readonly name: string;
  readonly address: string;
  /** True: output is stopped. False: it can print. Null: not known. */
  readonly silent: boolean | null;
  readonly layer: LayerId | null;
  readonly cause: string | null;
  /** Since when it is so. ISO 8601, UTC. */
  readonly since: string | null;
  readonly lastAnswerAt: string | null;
}

export interface PrintersDocument {
  readonly schema: typeof PRINTERS_SCHEMA;
  readonly printers: readonly WatchedPrinter[];
}
