import type { Log } from '../daemon/world.js';
import { createLog, type LogLevel } from '../net/log.js';

/** A log whose level can be changed while it is written. */
export interface LevelledLog extends Log {
  /** Says more than it was told to, or only that again. Gives the new level. */
  readonly turn: () => string;
}

/** The daemon's log: one line of JSON for each event worth having. */
export function agentLog(write: (line: string) => void, level: LogLevel): LevelledLog {
  const log = createLog(write, level);
  return {
    debug: (fields, words) => log.debug(fields, words),
    info: (fields, words) => log.info(fields, words),
    warn: (fields, words) => log.warn(fields, words),
    error: (fields, words) => log.error(fields, words),
    turn: () => {
      log.level = log.level === 'debug' ? (level === 'debug' ? 'info' : level) : 'debug';
      return log.level;
    },
  };
}
