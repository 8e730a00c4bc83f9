import type { SnmpVersion } from './evidence.js';

/** `outfeed.sweep/1`: the printers found, one device once, and what else answered. */
export const SWEEP_SCHEMA = 'outfeed.sweep/1';

export type FoundBy = 'snmp' | 'tcp' | 'dns-sd' | 'neighbour' | 'ipp';

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
}

export interface OtherHost {
  readonly address: string;
  readonly what: string;
}

export interface SweepDocument {
  readonly schema: typeof SWEEP_SCHEMA;
  readonly ranges: readonly string[];
  readonly startedAt: string;
  readonly tookMs: number;
  readonly addressesTried: number;
  readonly found: readonly FoundPrinter[];
  readonly others: readonly OtherHost[];
  /** What went wrong on the way, one sentence each. */
  readonly problems: readonly string[];
}
