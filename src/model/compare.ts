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
  /** One sentence for people: of the new snapshot where it shows the fault, else of the old one. */
  readonly summary?: string;
}

/** A fault that is over. */
export interface FixedFault extends ComparedFault {
  /** When it ended by an agent's memory, ISO 8601, UTC; null: nobody watched. */
  readonly endedAt?: string | null;
  /** Whole days from its end to the new snapshot; null: nobody watched. */
  readonly heldDays?: number | null;
  /** How often it came back between the two; null: nobody watched. */
  readonly cameBack?: number | null;
}

export const REPLACED_KINDS = ['device', 'cartridge', 'refill', 'firmware'] as const;

/** What was exchanged, filled or renewed. */
export interface Replaced {
  readonly printer: string;
  /** In words, with what was before and what is now. */
  readonly what: string;
  /** `cartridge`: another one, by its serial number or its name. `refill`: the level rose by itself. */
  readonly kind?: (typeof REPLACED_KINDS)[number];
  readonly before?: string;
  readonly after?: string;
}

export interface CompareDocument {
  readonly schema: typeof COMPARE_SCHEMA;
  readonly old: Compared;
  readonly new: Compared;
  /** Days between the two. */
  readonly days: number;
  /** Faults of the old one that the new one shows to be over. */
  readonly fixed: readonly FixedFault[];
  /** Faults of the new one alone. */
  readonly broken: readonly ComparedFault[];
  /** Faults of both. */
  readonly still: readonly ComparedFault[];
  /** Faults of the old one of which the new one can't tell: the printer did not answer, or a fault further down hides it. */
  readonly unclear: readonly ComparedFault[];
  /** Cartridges, firmware, devices. */
  readonly replaced: readonly Replaced[];
  readonly moved: readonly { readonly printer: string; readonly from: string; readonly to: string }[];
  readonly appeared: readonly string[];
  readonly gone: readonly string[];
  /** Printers of one alone, because the other was made of printers that were named: nobody looked at them there. */
  readonly notLookedAt?: readonly string[];
  /** Pages printed between the two, where the same device counts them. */
  readonly pages: readonly { readonly printer: string; readonly printed: number }[];
}
