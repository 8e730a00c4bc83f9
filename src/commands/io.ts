import type { Net } from '../net/net.js';

/**
 * Everything a command may touch of the world outside: two text streams, the environment, the network, the clock.
 * Commands take it as an argument and reach for nothing else, so that a test can run a whole command in its own process.
 */
export interface Io {
  /** Results. With `--json` exactly one document and nothing else. */
  readonly stdout: (text: string) => void;
  /** Progress, logs, complaints. */
  readonly stderr: (text: string) => void;
  /** Asks one line of the person at the keyboard; undefined at the end of input. Absent when nobody can be asked. */
  readonly ask?: (question: string) => Promise<string | undefined>;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Folder that relative paths start from. */
  readonly cwd: string;
  /** True when stdout is a terminal. */
  readonly isTty: boolean;
  /** True when stderr is a terminal: only then is a progress line drawn. */
  readonly stderrIsTty: boolean;
  /** Width of the terminal in characters, 80 where it is not known. */
  readonly columns: number;
  /** True when stdout may be coloured: a terminal, and no NO_COLOR in the environment. `--no-color` comes on top. */
  readonly color: boolean;
  /** Aborted when the person presses Ctrl-C. */
  readonly signal?: AbortSignal;
  /** Loads the network on first use: a command that needs none starts faster. The same object each time. */
  readonly net: () => Promise<Net>;
  readonly now: () => Date;
}
