import type { LayerId } from './layers.js';

/** `outfeed.testpage/1`: a test page that was made, and what came of sending it. */
export const TESTPAGE_SCHEMA = 'outfeed.testpage/1';
export const ROUTES = ['ipp', 'raw', 'lpd', 'queue'] as const;
export type Route = (typeof ROUTES)[number];

/** `told`: by `--format`. `printer`: it says that it takes this. `queue`: spoolers take PDF. `assumed`: nothing is known. */
export const FORMAT_FROM = ['told', 'printer', 'queue', 'assumed'] as const;
export type FormatFrom = (typeof FORMAT_FROM)[number];

/** A test page that was sent, as it is kept with the evidence (`history`, `test-page`; `at` is when) and in an agent's memory. */
export interface TestPageRecord {
  readonly via: Route;
  /** URI. */
  readonly to: string;
  /** Media type. */
  readonly format: string;
  readonly taken: boolean;
  readonly because: string;
  /** Over IPP: job-state as it stood last. */
  readonly jobState: string | null;
  /** What a person saw; null when nobody was asked. */
  readonly cameOut: boolean | null;
}

/** The planner's check that a page by this route answers. */
export function checkOf(via: Route): 'queue-test-page' | 'page-straight-to-address' {
  return via === 'queue' ? 'queue-test-page' : 'page-straight-to-address';
}

/** A kept record, checked: a saved file may hold anything. Undefined when it is none. */
export function readTestPageRecord(value: Readonly<Record<string, unknown>> | null): TestPageRecord | undefined {
  const via = ROUTES.find((route) => route === value?.via);
  if (value === null || via === undefined || typeof value.taken !== 'boolean') return undefined;
  const text = (part: unknown): string => (typeof part === 'string' ? part : '');
  return {
    via,
    to: text(value.to),
    format: text(value.format),
    taken: value.taken,
    because: text(value.because),
    jobState: typeof value.jobState === 'string' ? value.jobState : null,
    cameOut: typeof value.cameOut === 'boolean' ? value.cameOut : null,
  };
}

export interface TestPageSent {
  /** All octets were taken, and no word of a failure came back. */
  readonly taken: boolean;
  /** One sentence. */
  readonly because: string;
  /** Over IPP: the job that was made, as it stood last. */
  readonly job: { readonly id: number; readonly state: string; readonly reasons: readonly string[] } | null;
}

export interface TestPageDocument {
  readonly schema: typeof TESTPAGE_SCHEMA;
  readonly target: string;
  readonly via: Route;
  /** Where it goes: a URI. */
  readonly to: string;
  /** Media type. */
  readonly format: string;
  readonly formatFrom: FormatFrom;
  /** For PWG Raster: kind of dots (PWG 5102.4) and dots per inch across and along the feed. */
  readonly dots: { readonly type: string; readonly dpi: { readonly x: number; readonly y: number } } | null;
  /** PWG media size name. */
  readonly media: string;
  readonly octets: number;
  readonly sheets: number;
  /** File that it was written to. */
  readonly written: string | null;
  /** Null when it was not to be printed. */
  readonly sent: TestPageSent | null;
  /** Layers that are proved when the page lies in the tray, lowest first. */
  readonly proves: readonly LayerId[];
  /** What a person saw; null when nobody was asked, or nothing was sent. */
  readonly cameOut: boolean | null;
  /** File of evidence for `why --from`. */
  readonly saved: string | null;
  /** An agent's memory has it now. */
  readonly remembered: boolean;
  /** What to tell `why`, once somebody has looked. */
  readonly answer: string;
}
