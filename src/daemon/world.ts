/** The clocks, handed in so that a test may run ninety days in a minute. */
export interface World {
  /** Milliseconds since 1970: what is written down. May jump. */
  readonly now: () => number;
  /** Milliseconds from an arbitrary start: what waiting goes by. Never jumps, never goes back. */
  readonly monotonic: () => number;
}

/** What the daemon says of itself, one line each: `outside` gives a log that writes it. */
export interface Log {
  readonly debug: (fields: Readonly<Record<string, unknown>>, words: string) => void;
  readonly info: (fields: Readonly<Record<string, unknown>>, words: string) => void;
  readonly warn: (fields: Readonly<Record<string, unknown>>, words: string) => void;
  readonly error: (fields: Readonly<Record<string, unknown>>, words: string) => void;
}
