import type { Certainty } from '../../model/layers.js';

/**
 * One thing the printer says of itself, weighed against its other words.
 * `stop`: it stops output. `warn`: worth mentioning. `info`: an event, no condition.
 */
export interface Signal {
  /** printer-state-reasons keyword without severity suffix, or an error code's keyword (PWG 5100.9). */
  readonly reason: string;
  readonly weight: 'stop' | 'warn' | 'info';
  readonly certainty: Certainty;
  readonly witness: 'alert' | 'reason' | 'bit' | 'cover' | 'tray' | 'output' | 'supply' | 'status' | 'pjl' | 'words';
  readonly component: string | null;
  /** PrtAlertGroupTC of the part, where known: tells an empty tray from an empty cartridge. */
  readonly group: string | null;
  readonly description: string | null;
  /** Why it was weighed down, when another source contradicts it. */
  readonly note: string | null;
  readonly evidence: readonly string[];
}

/** A signal with the fields that most leave out. */
export function signal(part: Pick<Signal, 'reason' | 'weight' | 'witness' | 'evidence'> & Partial<Signal>): Signal {
  return { certainty: 'sure', component: null, group: null, description: null, note: null, ...part };
}
