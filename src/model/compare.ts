import type { LayerId } from './layers.js';

/** `outfeed.compare/1`: two snapshots of a site side by side. */
export const COMPARE_SCHEMA = 'outfeed.compare/1';

/** One of the two snapshots. */
export interface Compared {
  readonly site: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  readonly printers: number;
}

/** A fault, or something that stopped output. */
export interface ComparedFault {
  readonly printer: string;
  readonly layer: LayerId;
  readonly cause: string;
  readonly component: string | null;
}

export interface CompareDocument {
  readonly schema: typeof COMPARE_SCHEMA;
  readonly old: Compared;
  readonly new: Compared;
  /** Days between the two. */
  readonly days: number;
  /** Faults of the old one that the new one shows to be over. */
  readonly fixed: readonly ComparedFault[];
  /** Faults of the new one alone. */
  readonly broken: readonly ComparedFault[];
  /** Faults of both. */
  readonly still: readonly ComparedFault[];
  /** Faults of the old one of which the new one can't tell: the printer did not answer, or a fault further down hides it. */
  readonly unclear: readonly ComparedFault[];
  /** Cartridges, firmware, devices. */
  readonly replaced: readonly { readonly printer: string; readonly what: string }[];
  readonly moved: readonly { readonly printer: string; readonly from: string; readonly to: string }[];
  readonly appeared: readonly string[];
  readonly gone: readonly string[];
  /** Pages printed between the two, where the same device counts them. */
  readonly pages: readonly { readonly printer: string; readonly printed: number }[];
}
