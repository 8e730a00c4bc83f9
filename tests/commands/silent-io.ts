import type { Io } from '../../src/commands/io.js';

const silent = (): void => undefined;

/** Surroundings for reading the definitions of commands: nothing is run, so nothing is written or asked. */
export const SILENT: Io = {
  stdout: silent,
  stderr: silent,
  env: {},
  cwd: '/nonexistent',
  isTty: false,
  stderrIsTty: false,
  columns: 80,
  color: false,
  net: () => Promise.reject(new Error('no network here')),
  now: () => new Date(0),
};
