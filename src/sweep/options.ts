import type { FoundPrinter } from '../model/sweep.js';
import type { SnmpCredential } from '../net/net.js';
import type { Pace } from './pace.js';
import type { RangePlan } from './ranges.js';

/** A printer that is known beforehand, with the ports it is known to use. */
export interface KnownPrinter {
  /** IP address. */
  readonly address: string;
  readonly printPorts: readonly number[];
  readonly snmpPort: number;
  readonly ippUri?: string;
}

/** Ports that are asked at every address. */
export interface SweepPorts {
  /** IPP over plain HTTP or TLS. */
  readonly ipp: readonly number[];
  /** Raw and LPD: connected to, never written to. */
  readonly print: readonly number[];
  readonly web: readonly number[];
  readonly snmp: readonly number[];
}

/** RFC 8010 section 5 (631), RFC 1179 section 3.1 (515), RFC 3411-3418 (161); 9100 is common practice, no published source. */
export const USUAL_PORTS: SweepPorts = { ipp: [631], print: [9100, 515], web: [80, 443], snmp: [161] };

export interface SweepProgress {
  readonly done: number;
  readonly total: number;
  /** Addresses at which a printer was met. */
  readonly found: number;
  /** Milliseconds until every address is done; null while that can't be told. */
  readonly leftMs: number | null;
}

export interface SweepOptions {
  readonly plan: RangePlan;
  readonly ports: SweepPorts;
  readonly known: readonly KnownPrinter[];
  readonly credentials: readonly SnmpCredential[];
  readonly retries: number;
  readonly pace: Pace;
  /** Milliseconds to listen for DNS-SD announcements and WS-Discovery answers, if a range touches an own link; 0: not at all. */
  readonly listenMs: number;
  /** Sentences to pass on: what was narrowed, what was left out. */
  readonly remarks: readonly string[];
  readonly signal?: AbortSignal;
  /** Each address at which a printer was found, as it is found; one device may come up at several. */
  readonly onFound?: (printer: FoundPrinter) => void;
  readonly onProgress?: (progress: SweepProgress) => void;
}
