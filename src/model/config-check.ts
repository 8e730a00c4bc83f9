/** `outfeed.config-check/1`: what is wrong with a configuration file. */
export const CONFIG_CHECK_SCHEMA = 'outfeed.config-check/1';

export interface ConfigCheckDocument {
  readonly schema: typeof CONFIG_CHECK_SCHEMA;
  /** Null when none was given and none was found. */
  readonly file: string | null;
  /** In the order of the file; `line` and `column` count from 1. */
  readonly problems: readonly { readonly line: number; readonly column: number; readonly text: string }[];
}
