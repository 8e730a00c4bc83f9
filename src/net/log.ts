import { type Logger, pino } from 'pino';
import { madeVisible } from '../model/visible.js';

export type LogLevel = 'silent' | 'error' | 'warn' | 'info' | 'debug';

/**
 * A log of one JSON object a line, ISO 8601 times, written through `write` (stderr, as a rule: stdout is for results).
 * Whatever a printer or a stranger put into a field is spelt out, so that it can't act on the terminal of who reads the log.
 * Fields that hold a secret are struck out.
 */
export function createLog(write: (line: string) => void, level: LogLevel): Logger {
  return pino(
    {
      level,
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      redact: { paths: SECRET_FIELDS.flatMap((name) => [name, `*.${name}`]), censor: '(secret)' },
    },
    { write: (line) => write(`${inJson(line.trimEnd())}\n`) },
  );
}

const SECRET_FIELDS = ['community', 'authKey', 'privKey', 'password', 'token', 'secret', 'authorization'];

/** The line is JSON already: C0 controls are escaped in it. What is left becomes text in which a backslash stands for itself. */
function inJson(line: string): string {
  return madeVisible(line).replaceAll(/(?<!\\)((?:\\\\)*)\\(x[0-9a-f]{2}|u\{[0-9a-f]+\})/g, '$1\\\\$2');
}
