import type { Certainty, LayerId, NextStep } from './layers.js';
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
  /** What it is and where it stands, by its own word or, while it is silent, as it was last known. */
  readonly knownAs?: KnownAs;
  /** What an agent's memory adds; absent where nothing is remembered. */
  readonly past?: PrinterPast;
  /** Absent where no earlier visit is known. */
  readonly sinceVisit?: SinceVisit;
}

/** What tells one printer from another to a person who looks for it. Null: not known. */
export interface KnownAs {
  readonly model: string | null;
  readonly serial: string | null;
  readonly location: string | null;
}

/** How a printer was found to be: `unwatched` before an agent knew it. */
export const PAST_STATES = ['silent', 'unclear', 'well', 'unwatched'] as const;
export type PastState = (typeof PAST_STATES)[number];

/** The last three months of one printer. */
export interface PrinterPast {
  /** Without gaps, oldest first. Times are ISO 8601, UTC. */
  readonly states: readonly {
    readonly from: string;
    readonly to: string;
    readonly state: PastState;
    /** Of a silent or unclear time. */
    readonly cause: string | null;
  }[];
  /** ISO 8601 date of the first of `pages`; days are those of UTC. */
  readonly firstDay: string;
  /** Pages printed on each day; null where the counter was not read. */
  readonly pages: readonly (number | null)[];
}

/** What happened to one printer since the last visit. */
export interface SinceVisit {
  /** Pages printed; null where the counter of one end is not known or the device was exchanged. */
  readonly pages: number | null;
  /** Its counter at that time. */
  readonly lifePagesThen: number | null;
  /** Times that it fell silent. */
  readonly faults: number;
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
  /** The fault that is mended there. */
  readonly layer?: LayerId;
  readonly cause?: string;
  readonly component?: string | null;
  readonly certainty?: Certainty;
  readonly summary?: string;
  /** ISO 8601; null when nobody kept watch. */
  readonly since?: string | null;
  /** True: of no use before the stop in front of it is done, which mends the same printer. */
  readonly afterPrevious?: boolean;
  /** The steps with their minutes and cautions. */
  readonly tasks?: readonly NextStep[];
  /** Other printers that the same work helps. */
  readonly alsoFor?: readonly string[];
}

export const BRING_KINDS = ['supply', 'part', 'paper', 'cable', 'tool', 'document'] as const;
export type BringKind = (typeof BRING_KINDS)[number];

/** Something to carry along. */
export interface BringItem {
  readonly what: string;
  readonly for: readonly string[];
  readonly because: string;
  readonly kind?: BringKind;
  readonly quantity?: number;
}

/** Somebody without whom a stop can't be finished: a role, never a name and never a secret. */
export interface PresentItem {
  readonly who: string;
  readonly for: readonly string[];
  readonly because: string;
}

/** What only a person on site can tell. */
export interface VisitQuestion {
  readonly printer: string;
  readonly ask: string;
  /** To be ticked; none: room to write. */
  readonly answers: readonly string[];
  /** What `why --answer CHECK=ANSWER` takes; null when it is asked for the record alone. */
  readonly check: string | null;
}

/** A supply that is used up, or may be, before the next visit. */
export interface RunsOut {
  readonly printer: string;
  readonly supply: string;
  /** ISO 8601 dates; null: it is low or empty now and nothing is known of its past. */
  readonly emptyAt: Forecast['emptyAt'];
  readonly state: Forecast['state'];
  readonly percent: number | null;
}

export interface Visit {
  readonly order: readonly VisitStop[];
  readonly bring: readonly BringItem[];
  readonly present?: readonly PresentItem[];
  readonly questions?: readonly VisitQuestion[];
  readonly runsOut?: readonly RunsOut[];
  /** ISO 8601 date up to which supplies have to last. */
  readonly nextVisit?: string;
  /** Null when none is known. ISO 8601, UTC. */
  readonly lastVisit?: string | null;
}

export interface SnapshotDocument {
  readonly schema: typeof SNAPSHOT_SCHEMA;
  /** The site's name. */
  readonly site: string;
  /** A name of the IANA time zone table. Absent: not stated. */
  readonly timezone?: string;
  readonly madeAt: string;
  readonly redacted: boolean;
  /** It was made of printers that were named: what it lacks may still be there. */
  readonly chosen?: boolean;
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

/** How far the clocks of devices are from that of the machine that asked them. */
export interface ClockOffset {
  /** The middle one of the devices; positive: their clocks are ahead. */
  readonly offsetSeconds: number;
  /** Between the clocks that are furthest apart. */
  readonly spreadSeconds: number;
  /** How many told their time. */
  readonly devices: number;
  /** What told it: `printer-current-time` (IPP), `hrSystemDate` (SNMP). */
  readonly sources: readonly ('printer-current-time' | 'hrSystemDate')[];
}

export interface Manifest {
  readonly schema: typeof MANIFEST_SCHEMA;
  /** Name and version of the program that made it. */
  readonly program: string;
  /** By the clock of the machine that made it. */
  readonly madeAt: string;
  /** Absent where no device told its time. */
  readonly clock?: ClockOffset;
  readonly files: readonly ManifestFile[];
}
