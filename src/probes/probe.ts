import type { Observation } from '../model/evidence.js';
import type { Target } from '../model/target.js';
import type { Net, SnmpCredential } from '../net/net.js';

/** Address and port of an agent → name of the credential that it last answered to. Holds no secret. */
export type WorkedBefore = Map<string, string>;

/** How long, how often, in whose name. Given to every probe; a probe never takes longer than `deadlineMs`. */
export interface Limits {
  /** One answer. */
  readonly timeoutMs: number;
  readonly retries: number;
  /** The whole probe. */
  readonly deadlineMs: number;
  readonly credentials: readonly SnmpCredential[];
  /** Which of them worked where, for whoever reads the same printers again: filled and used by the SNMP probe. */
  readonly worked?: WorkedBefore;
  /** User whose access is checked. */
  readonly user?: string;
}

/**
 * Asks one thing and gives what it saw. Never judges, never throws for what the network did.
 * `order` fixes the place of its records among all others.
 */
export interface Probe {
  readonly id: string;
  /** `seen`: what the others saw, for a late probe; empty for all others. */
  readonly run: (
    target: Target,
    net: Net,
    limits: Limits,
    seen?: readonly Observation[],
  ) => Promise<readonly Observation[]>;
  /**
   * A probe with this runs once all others have ended, and only when this says so of what they saw: it would be in their
   * way where a device takes one connection at a time.
   */
  readonly late?: (target: Target, seen: readonly Observation[]) => boolean;
}
