import type { EventDocument } from '../model/event.js';
import type { Certainty, LayerId } from '../model/layers.js';
import type { TestPageRecord } from '../model/testpage.js';
import type { EvidenceBundle } from '../model/why.js';

/** What is remembered of a printer's identity. Each value is kept with the first and the last time it was seen. */
export const IDENTITY_KINDS = ['address', 'serial', 'uuid', 'mac', 'model', 'firmware', 'name', 'cartridge'] as const;
export type IdentityKind = (typeof IDENTITY_KINDS)[number];

/** A measured number of a printer that is kept over time. */
export type SeriesKind = 'level' | 'pages' | 'booted';

/** What a series measures. `place` tells the supplies of one printer apart: their index, as text. */
export interface SeriesOf {
  readonly kind: SeriesKind;
  readonly place: string;
  /** What the printer calls it; empty for counters. */
  readonly name: string;
  /** PrtMarkerSuppliesTypeTC; empty for counters. */
  readonly type: string;
  /** PrtMarkerSuppliesClassTC; empty for counters. */
  readonly class: string;
  readonly colour: string | null;
  readonly unit: string | null;
  readonly capacity: number | null;
}

/**
 * One thing to remember. All times are milliseconds since 1970. Each may be written twice and stands once: after a lost
 * connection nobody knows whether the last transaction was kept, so it is written again.
 */
export type Change =
  | {
      readonly kind: 'printer';
      readonly printer: string;
      readonly address: string;
      readonly configured: boolean;
      readonly at: number;
      readonly lastAnswerAt: number | null;
      readonly goneAt: number | null;
    }
  | {
      readonly kind: 'identity';
      readonly printer: string;
      readonly what: IdentityKind;
      readonly value: string;
      readonly at: number;
    }
  | {
      readonly kind: 'verdict';
      readonly printer: string;
      readonly at: number;
      readonly silent: boolean | null;
      readonly layer: LayerId;
      readonly cause: string;
      readonly component: string | null;
      readonly certainty: Certainty;
      readonly summary: string;
      readonly evidence: EvidenceBundle | null;
    }
  | {
      readonly kind: 'alert';
      readonly printer: string;
      /** Code and place make the key: the same alert may come again later. */
      readonly code: string;
      readonly place: string;
      readonly startedAt: number;
      readonly endedAt: number | null;
      readonly severity: string;
      readonly description: string | null;
    }
  | {
      readonly kind: 'sample';
      readonly printer: string;
      readonly series: SeriesOf;
      readonly at: number;
      readonly value: number;
    }
  | { readonly kind: 'test-page'; readonly printer: string; readonly at: number; readonly page: TestPageRecord }
  | { readonly kind: 'incident'; readonly incident: IncidentRecord }
  | {
      readonly kind: 'event';
      readonly event: EventDocument;
      readonly incident: string | null;
      /** Whom to tell, and from when on. */
      readonly tell: readonly { readonly teller: string; readonly dueAt: number }[];
    };

/** An incident as it is written: the whole of it each time. */
export interface IncidentRecord {
  readonly id: string;
  /** The printer it is named after; the first of `affects` for one that struck several. */
  readonly printer: string;
  readonly layer: LayerId;
  readonly cause: string;
  readonly component: string | null;
  readonly startedAt: number;
  readonly endedAt: number | null;
  readonly affects: readonly string[];
  readonly flapping: boolean;
  /** People were told of it, or it was put into the outbox for them. */
  readonly told: boolean;
}
