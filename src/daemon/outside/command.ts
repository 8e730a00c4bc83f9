import { spawn } from 'node:child_process';
import type { Send } from '../teller.js';

const PATIENCE_MS = 30_000;
const MOST_STDERR = 500;
/** Once the program has ended, its last words have this long to come. */
const LAST_WORDS_MS = 200;

/**
 * Runs a program for each message, the events as JSON on its standard input: one document, or several one a line. Nothing of an
 * event ever becomes part of the command line. Exit code 0 means that it was told.
 */
export function command(run: string, args: readonly string[], folder: string | undefined): Send {
  return ({ events, key }) =>
    new Promise((resolve, reject) => {
      const child = spawn(run, [...args], {
        ...(folder === undefined ? {} : { cwd: folder }),
        env: { ...process.env, OUTFEED_KEY: key },
        stdio: ['pipe', 'ignore', 'pipe'],
        timeout: PATIENCE_MS,
        killSignal: 'SIGKILL',
      });
      let said = '';
      child.stderr.on('data', (part: Buffer) => {
        if (said.length < MOST_STDERR) said += part.toString('utf8');
      });
      // A program may end without reading what it was given.
      child.stdin.on('error', () => undefined);
      child.on('error', (error) => reject(new Error(`${run} can not be run: ${error.message}`)));
      // What it has started may live on with its stderr, and would be waited for as long as that lives.
      child.on('exit', () => setTimeout(() => child.stderr.destroy(), LAST_WORDS_MS));
      child.on('close', (code, signal) => {
        if (code === 0) resolve();
        else
          reject(new Error(`${run} ended with ${signal ?? `exit code ${code}`}: ${said.slice(0, MOST_STDERR).trim()}`));
      });
      child.stdin.end(`${events.map((event) => JSON.stringify(event)).join('\n')}\n`);
    });
}
