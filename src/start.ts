import { setMaxListeners } from 'node:events';
import { createInterface } from 'node:readline/promises';
import type { Io } from './commands/io.js';
import { explain, run } from './commands/program.js';
import { EXIT, type ExitCode } from './model/problem.js';
import type { Net } from './net/net.js';

/** After Ctrl-C a command has this long to put things away. */
const PATIENCE_MS = 2_000;

const argv = process.argv.slice(2);
const stopped = new AbortController();
// Every address of a sweep waits for it.
setMaxListeners(0, stopped.signal);
const io = processIo(stopped.signal);

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of a pipe may leave before the end (`outfeed … | head`): that is its right, and no failure.
  if (error.code !== 'EPIPE') process.exit(EXIT.failed);
});
// Complaints and the log say how it goes, they are not what was asked for: where they find no room, on a disk that is full, the work goes on.
process.stderr.on('error', () => undefined);
process.on('uncaughtException', bug);
process.on('unhandledRejection', bug);
process.on('SIGINT', interrupted);
process.on('SIGTERM', interrupted);

void run(argv, io).then(leave);

function bug(error: unknown): void {
  process.exit(explain(error, io, argv.includes('--verbose') || argv.includes('-v')));
}

function interrupted(signal: NodeJS.Signals): void {
  const again = stopped.signal.aborted;
  stopped.abort();
  const die = (): void => {
    process.removeAllListeners(signal);
    process.kill(process.pid, signal);
  };
  if (again) die();
  else setTimeout(die, PATIENCE_MS).unref();
}

/** Ends the process once everything written has been taken. */
async function leave(code: ExitCode): Promise<never> {
  await Promise.all([process.stdout, process.stderr].map(drained));
  process.exit(code);
}

function drained(stream: NodeJS.WriteStream): Promise<void> {
  return new Promise((done) => {
    if (stream.destroyed || !stream.writable) done();
    else stream.write('', () => done());
  });
}

function processIo(signal: AbortSignal): Io {
  const { env, stdout, stderr, stdin } = process;
  let net: Promise<Net> | undefined;
  return {
    stdout: (text) => void stdout.write(text),
    stderr: (text) => void stderr.write(text),
    ...(stdin.isTTY ? { ask: askAtTerminal } : {}),
    env,
    cwd: process.cwd(),
    isTty: stdout.isTTY === true,
    stderrIsTty: stderr.isTTY === true,
    // A terminal that was never told its size says 0.
    columns: stdout.columns || Number(env.COLUMNS) || 80,
    color: stdout.isTTY === true && !env.NO_COLOR && env.TERM !== 'dumb',
    signal,
    net: () => {
      net ??= import('./net/system-net.js').then(({ createSystemNet }) => createSystemNet());
      return net;
    },
    now: () => new Date(),
  };
}

/** The question goes to stderr: stdout is for results. */
async function askAtTerminal(question: string): Promise<string | undefined> {
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  try {
    return await lines.question(question, { signal: stopped.signal });
  } catch {
    return undefined;
  } finally {
    lines.close();
  }
}
