/** The thirteen layers between a wall socket and an application, lowest first: the order in which a fault hides others. */
export const LAYERS = [
  'power',
  'link',
  'address',
  'port',
  'protocol',
  'access',
  'device',
  'media',
  'supplies',
  'language',
  'queue',
  'job',
  'application',
] as const;
export type LayerId = (typeof LAYERS)[number];

/**
 * `clear`: shown by evidence to be well. `warning`: worth mentioning, printing goes on. `fault`: stops output.
 * `unknown`: no evidence either way. `not-reached`: a fault further down hides it.
 */
export const LAYER_STATES = ['clear', 'warning', 'fault', 'unknown', 'not-reached'] as const;
export type LayerState = (typeof LAYER_STATES)[number];

/** How far the evidence carries: `sure` excludes every other cause in the tables, `possible` is a best guess. */
export const CERTAINTIES = ['sure', 'likely', 'possible'] as const;
export type Certainty = (typeof CERTAINTIES)[number];

export type Severity = 'fault' | 'warning';

/** One thing a layer's judge has seen. `evidence` holds the ids that carry it; it is never empty for a fault. */
export interface Finding {
  readonly cause: string;
  readonly severity: Severity;
  readonly certainty: Certainty;
  /** The part that it is about, in words a person can find: "Tray 2", "black toner". */
  readonly component?: string;
  /** Values that the cause's words take: queue name, address, user … */
  readonly detail?: Readonly<Record<string, string>>;
  readonly evidence: readonly string[];
}

/**
 * What a layer's judge gives back.
 * `clear` needs evidence; a judge with neither findings nor clearing evidence has said "unknown".
 */
export interface LayerJudgement {
  readonly findings: readonly Finding[];
  /** Evidence that shows this layer well. Empty: not shown. */
  readonly clearedBy: readonly string[];
  /** One sentence for a layer that is clear or unknown; a finding's own words are used otherwise. */
  readonly summary?: string;
}

/** A step for a person: what to do, for how long, and what to beware of. */
export interface NextStep {
  readonly step: string;
  readonly minutes: number;
  readonly cautions: readonly string[];
}
