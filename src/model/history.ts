/** What may be asked of the past. A store implements `History`; so does a file. */

/** One look at one supply. */
export interface SupplyReading {
  /** Milliseconds since 1970, UTC. */
  readonly at: number;
  /** prtMarkerSuppliesLevel as it came, special values too (RFC 3805: -1 no limit, -2 unknown, -3 some left). */
  readonly level: number;
  /** prtMarkerSuppliesMaxCapacity as it came; null when nobody said. */
  readonly capacity: number | null;
  /** PrtMarkerSuppliesSupplyUnitTC; null when nobody said. */
  readonly unit: string | null;
  /** prtMarkerLifeCount of the same moment; null without a counter. */
  readonly pages: number | null;
}

/** The past of one supply of one printer. */
export interface SupplyHistory {
  readonly printer: string;
  /** As the configuration or the store has it; null when nobody said. Keeps two models apart that name a supply alike. */
  readonly model: string | null;
  readonly supply: {
    readonly index: number;
    readonly name: string;
    /** PrtMarkerSuppliesTypeTC. */
    readonly type: string;
    /** PrtMarkerSuppliesClassTC. */
    readonly class: string;
    readonly colour: string | null;
  };
  /** Oldest first. */
  readonly readings: readonly SupplyReading[];
}

/** An alert of the past, with what is needed to count feeding faults. */
export interface PastAlert {
  readonly printer: string;
  /** Milliseconds since 1970, UTC. */
  readonly at: number;
  /** PrtAlertCodeTC label, such as `jam`. */
  readonly code: string;
  /** Name of the tray, as the printer gives it. */
  readonly component: string | null;
}

/** Where the past is kept. */
export interface History {
  /** Supplies with their readings up to and including `until` (milliseconds); of the printers named, or of all. */
  supplies(until: number, printers?: readonly string[]): Promise<readonly SupplyHistory[]>;
}
