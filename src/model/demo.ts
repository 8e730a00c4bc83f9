import type { ExitCode } from './problem.js';

/** `outfeed.demo/1`: the made-up office, and what each command of the walk through it answered. */
export const DEMO_SCHEMA = 'outfeed.demo/1';

export interface DemoDocument {
  readonly schema: typeof DEMO_SCHEMA;
  /** CIDR range that the office stands in. */
  readonly range: string;
  readonly devices: readonly {
    readonly name: string;
    readonly address: string;
    readonly kind: 'printer' | 'other' | 'spooler';
    /** What `why` has to find; null where nothing is asked. */
    readonly expect: { readonly layer: string; readonly cause: string } | null;
  }[];
  readonly steps: readonly {
    /** Words behind `outfeed`. */
    readonly command: readonly string[];
    readonly exitCode: ExitCode;
    /** The document that the command printed; null when it printed none. */
    readonly document: unknown;
  }[];
}
