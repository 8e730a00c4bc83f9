import type { LayerId } from './layers.js';

/** `outfeed.testpage/1`: a test page that was made, and what came of sending it. */
export const TESTPAGE_SCHEMA = 'outfeed.testpage/1';
export const ROUTES = ['ipp', 'raw', 'lpd', 'queue'] as const;
export type Route = (typeof ROUTES)[number];

/** `told`: by `--format`. `printer`: it says that it takes this. `queue`: spoolers take PDF. `assumed`: nothing is known. */
export const FORMAT_FROM = ['told', 'printer', 'queue', 'assumed'] as const;
export type FormatFrom = (typeof FORMAT_FROM)[number];

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
  /** What to tell `why`, once somebody has looked. */
  readonly answer: string;
}
