import type { SnmpVersion } from './evidence.js';

/** `outfeed.sweep/1`: the printers found, one device once, and what else answered. */
export const SWEEP_SCHEMA = 'outfeed.sweep/1';

export type FoundBy = 'snmp' | 'tcp' | 'dns-sd' | 'neighbour' | 'ipp' | 'ws-discovery';

export interface FoundPrinter {
  readonly address: string;
  readonly name: string | null;
  readonly model: string | null;
  readonly serial: string | null;
  readonly uuid: string | null;
  readonly mac: string | null;
  readonly ports: readonly number[];
  readonly snmp: SnmpVersion | null;
  readonly ipp: string | null;
  readonly dnsSd: boolean;
  readonly foundBy: readonly FoundBy[];
  /** Further addresses of the same device. */
  readonly alsoAt: readonly string[];
  /** Where one address speaks for several printers over SNMP: hrDeviceIndex of this one. `ADDRESS#INDEX` names it. */
  readonly deviceIndex?: number;
  /** All its addresses are of its own making: 169.254/16 (RFC 3927) or fe80::/10 (RFC 4291). */
  readonly selfAssigned?: boolean;
  /** It may be a printer, but nothing that it said shows it. */
  readonly candidate?: boolean;
  /** Why it is taken for a printer, in one sentence. */
  readonly because?: string;
}

export interface OtherHost {
  readonly address: string;
  /** What it is taken for, and why it is no printer. */
  readonly what: string;
  readonly selfAssigned?: boolean;
}

/**
 * A difference from what was known. `new`: known to nobody. `gone`: known, in the ranges, and not found. `moved`: the same device at
 * another address. `changed`: another device at a known address.
 */
export interface SweepChange {
  readonly what: 'new' | 'gone' | 'moved' | 'changed';
  /** With what it was compared. */
  readonly against: 'configuration' | 'earlier-sweep';
  /** Where it is now; where it was, for `gone`. */
  readonly address: string;
  /** Where it was, for `moved`. */
  readonly before?: string;
  /** Its name, if it has one. */
  readonly name: string | null;
  /** One sentence. */
  readonly summary: string;
}

export interface SweepDocument {
  readonly schema: typeof SWEEP_SCHEMA;
  readonly ranges: readonly string[];
  readonly startedAt: string;
  readonly tookMs: number;
  readonly addressesTried: number;
  readonly found: readonly FoundPrinter[];
  readonly others: readonly OtherHost[];
  /** Differences from the configuration and from an earlier sweep. Absent when there was nothing to compare with. */
  readonly changes?: readonly SweepChange[];
  /**
   * How it was told who is there. `neighbour-table`: by address resolution on the link. `tcp`: by an answer or a refusal, off the link or
   * where the system shows no table.
   */
  readonly liveness?: readonly ('neighbour-table' | 'tcp')[];
  /** What went wrong on the way, one sentence each. */
  readonly problems: readonly string[];
}
