import type { Incident } from './snapshot.js';

/** `outfeed.incidents/1`: what went wrong, when, and when it was over. */
export const INCIDENTS_SCHEMA = 'outfeed.incidents/1';

/** An incident as the agent keeps it. */
export interface KeptIncident extends Incident {
  /** Every printer that it struck: one, or all behind a dead switch. */
  readonly affects: readonly string[];
  /** What a person wrote when acknowledging: what helped. */
  readonly note: string | null;
  /** True when it came and went so often that its comings and goings are no longer told one by one. */
  readonly flapping: boolean;
}

/** How reliable one printer was over the last three months, or since it is watched. */
export interface Reliability {
  readonly printer: string;
  readonly watchedSeconds: number;
  readonly silentSeconds: number;
  /** Share of the watched time in which it was not silent, 0 to 1. */
  readonly availability: number;
  readonly faults: number;
  /** Null without a fault. */
  readonly meanSecondsBetweenFaults: number | null;
}

export interface IncidentsDocument {
  readonly schema: typeof INCIDENTS_SCHEMA;
  readonly incidents: readonly KeptIncident[];
  /** Worst first. */
  readonly reliability?: readonly Reliability[];
}
