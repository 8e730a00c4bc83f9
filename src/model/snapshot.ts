import type { LayerId } from './layers.js';
import type { Counters, PrinterDocument } from './printer.js';
import type { Forecast } from './supplies.js';
import type { WhyDocument } from './why.js';

/** `outfeed.snapshot/1`: the state of a site's printers at one moment, to take along. */
export const SNAPSHOT_SCHEMA = 'outfeed.snapshot/1';
/** `outfeed.manifest/1`: what files a snapshot is made of, so that a damaged one is noticed. */
export const MANIFEST_SCHEMA = 'outfeed.manifest/1';

/** One stretch of time in which a printer was silent for one cause. */
export interface Incident {
  readonly id: string;
  readonly printer: string;
  readonly layer: LayerId;
  readonly cause: string;
  readonly component: string | null;
  readonly startedAt: string;
  readonly endedAt: string | null;
  readonly acknowledgedAt: string | null;
}

export interface SnapshotPrinter {
  /** Null when nothing that answered described a printer. */
  readonly printer: PrinterDocument | null;
  readonly why: WhyDocument;
  readonly supplies: readonly Forecast[];
  readonly counters: Counters | null;
  readonly incidents: readonly Incident[];
}

/** One stop of the round through the site. */
export interface VisitStop {
  readonly printer: string;
  /** Of all its steps. */
  readonly minutes: number;
  /** How many people print there; null when the configuration does not say. */
  readonly people: number | null;
  /** True: can be mended without walking to the printer. */
  readonly remote: boolean;
  readonly steps: readonly string[];
}

/** Something to carry along. */
export interface BringItem {
  readonly what: string;
  readonly for: readonly string[];
  readonly because: string;
}

export interface Visit {
  readonly order: readonly VisitStop[];
  readonly bring: readonly BringItem[];
}

export interface SnapshotDocument {
  readonly schema: typeof SNAPSHOT_SCHEMA;
  /** The site's name. */
  readonly site: string;
  readonly madeAt: string;
  readonly redacted: boolean;
  readonly printers: readonly SnapshotPrinter[];
  readonly visit: Visit;
}

export interface ManifestFile {
  /** Relative to the snapshot's folder, with `/`. */
  readonly path: string;
  readonly bytes: number;
  /** Lower-case hexadecimal. */
  readonly sha256: string;
}

export interface Manifest {
  readonly schema: typeof MANIFEST_SCHEMA;
  /** Name and version of the program that made it. */
  readonly program: string;
  readonly madeAt: string;
  readonly files: readonly ManifestFile[];
}
