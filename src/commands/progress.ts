import { Writable } from 'node:stream';
import { SingleBar } from 'cli-progress';
import type { FoundPrinter } from '../model/sweep.js';
import { forTerminal } from '../render/escape.js';
import { elideCells } from '../render/wrap.js';
import type { SweepProgress } from '../sweep/options.js';

export interface ProgressLine {
  readonly update: (progress: SweepProgress) => void;
  /** Tells of a printer as it is found, above the line. */
  readonly found: (printer: FoundPrinter) => void;
  /** Clears the line. */
  readonly stop: () => void;
}

/** A progress line on a terminal: how many addresses are done, how many printers were met, how long it still takes. */
export function startProgress(total: number, write: (text: string) => void, columns: number): ProgressLine {
  const bar = new SingleBar({
    stream: terminal(write, columns),
    format: '{bar} {value}/{total} addresses, {found} found{left}',
    barsize: Math.max(10, Math.min(30, columns - 62)),
    barCompleteChar: '#',
    barIncompleteChar: '.',
    hideCursor: true,
    clearOnComplete: true,
    gracefulExit: false,
  });
  bar.start(total, 0, { found: 0, left: '' });
  return {
    update: ({ done, found, leftMs }) => bar.update(done, { found, left: remaining(done, total, leftMs) }),
    found: ({ address, name, model }) => {
      const words = [address, name, model].filter((word) => word !== null).map((word) => forTerminal(word, 60));
      // Over the bar, which is drawn again below.
      write(`\r\u001b[2K${elideCells(words.join('  '), Math.max(20, columns - 1))}\n`);
      bar.render();
    },
    stop: () => bar.stop(),
  };
}

function remaining(done: number, total: number, leftMs: number | null): string {
  if (done >= total) return ', listening';
  if (leftMs === null) return '';
  const seconds = Math.ceil(leftMs / 1000);
  return seconds < 90 ? `, ${seconds} s left` : `, ${Math.ceil(seconds / 60)} min left`;
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
