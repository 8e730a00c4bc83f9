import { Writable } from 'node:stream';
import { SingleBar } from 'cli-progress';
import type { SweepProgress } from '../sweep/options.js';

export interface ProgressLine {
  readonly update: (progress: SweepProgress) => void;
  /** Clears the line. */
  readonly stop: () => void;
}

/** A progress line on a terminal: how many addresses are done, how many printers were met. */
export function startProgress(total: number, write: (text: string) => void, columns: number): ProgressLine {
  const bar = new SingleBar({
    stream: terminal(write, columns),
    format: '{bar} {value}/{total} addresses, {found} found',
    barsize: Math.max(10, Math.min(30, columns - 45)),
    barCompleteChar: '#',
    barIncompleteChar: '.',
    hideCursor: true,
    clearOnComplete: true,
    gracefulExit: false,
  });
  bar.start(total, 0, { found: 0 });
  return {
    update: ({ done, found }) => bar.update(done, { found }),
    stop: () => bar.stop(),
  };
}

/** The bar wants a stream that says it is a terminal; all it writes goes where the command's complaints go. */
function terminal(write: (text: string) => void, columns: number): NodeJS.WritableStream {
  const stream = new Writable({
    decodeStrings: false,
    write: (chunk: string | Buffer, _encoding, done) => {
      write(String(chunk));
      done();
    },
  });
  return Object.assign(stream, { isTTY: true, columns });
}
