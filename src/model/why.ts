import type { Evidence } from './evidence.js';
import type { Certainty, LayerId, LayerState, NextStep } from './layers.js';

/** `outfeed.why/1`: why a printer gives no output. */
export const WHY_SCHEMA = 'outfeed.why/1';

export interface Blame {
  readonly layer: LayerId;
  readonly cause: string;
  readonly certainty: Certainty;
  readonly component?: string;
  readonly summary: string;
}

export interface Verdict extends Blame {
  readonly next: readonly NextStep[];
}

export interface Suspect {
  readonly layer: LayerId;
  readonly cause: string;
  readonly probability: number;
}

export interface Check {
  readonly id: string;
  readonly ask: string;
  readonly minutes: number;
  readonly bits: number;
  readonly sheets: number;
  /** What may be answered: `--answer ID=OUTCOME`. */
  readonly outcomes: readonly string[];
}

export interface LayerEntry {
  readonly layer: LayerId;
  readonly state: LayerState;
  readonly cause?: string;
  readonly component?: string;
  readonly summary: string;
  readonly evidence: readonly string[];
}

export interface WhyDocument {
  readonly schema: typeof WHY_SCHEMA;
  readonly target: string;
  readonly printer: {
    readonly name: string | null;
    readonly address: string | null;
    readonly model: string | null;
    readonly serial: string | null;
  };
  readonly askedAt: string;
  readonly tookMs: number;
  /** True: output is stopped. False: it can print. Null: can't tell. */
  readonly silent: boolean | null;
  readonly verdict: Verdict;
  readonly others: readonly Blame[];
  /** Things to mention that stop nothing. */
  readonly warnings: readonly Blame[];
  readonly suspects: readonly Suspect[];
  readonly checks: readonly Check[];
  readonly layers: readonly LayerEntry[];
  readonly evidence: readonly Evidence[];
}

/** `outfeed.evidence/1`: what `why --save` keeps and `why --from` judges again. */
export const EVIDENCE_SCHEMA = 'outfeed.evidence/1';
export interface EvidenceBundle {
  readonly schema: typeof EVIDENCE_SCHEMA;
  readonly target: string;
  /** IP address that was asked; null when the name could not be resolved. */
  readonly address: string | null;
  /** Device index asked for (`TARGET#2`). */
  readonly deviceIndex?: number;
  /** User whose access was checked. */
  readonly user?: string;
  readonly askedAt: string;
  readonly tookMs: number;
  readonly evidence: readonly Evidence[];
}
