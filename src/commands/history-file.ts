import { resolve } from 'node:path';
import { type CsvError, type Info, parse } from 'csv-parse';
import { openGiven, unreadable } from '../config/given-file.js';
import { HistoryGatherer, readRow, wrongHeader } from '../forecast/history-csv.js';
import type { History, SupplyHistory } from '../model/history.js';
import { ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';
import type { Io } from './io.js';

/** Bad lines that are told one by one. */
const MOST_COMPLAINTS = 20;
/** A line of seven cells is never longer. */
const MOST_LINE_BYTES = 100_000;
/** A thousand printers over years, every reading kept. */
const MEANT = { what: '', mostBytes: 1_000_000_000, than: 'any history' };

/**
 * The past kept in a CSV file. Every bad line is told on stderr, a sentence each with its number; then ProgramProblem (exit 2):
 * a forecast from half a past would look as good as one from a whole one.
 */
export async function readHistoryFile(file: string, io: Pick<Io, 'cwd' | 'stderr'>): Promise<History> {
  const path = resolve(io.cwd, file);
  const gatherer = new HistoryGatherer();
  const wrong = await readLines(path, gatherer);
  if (wrong.length > 0) {
    const name = forTerminal(file, 200);
    for (const { line, text } of wrong.slice(0, MOST_COMPLAINTS))
      io.stderr(`${name}:${line}: ${forTerminal(text, 300)}.\n`);
    const what = wrong.length === 1 ? '1 line that can not' : `${wrong.length} lines that can not`;
    throw new ProgramProblem('history-lines', `${file} has ${what} be read; correct or delete what is named above.`);
  }
  const all = gatherer.done();
  if (all.length === 0) throw new ProgramProblem('history-empty', `${file} holds no readings below its first line.`);
  return { supplies: async (until, printers) => upTo(all, until, printers) };
}

function upTo(
  all: readonly SupplyHistory[],
  until: number,
  printers: readonly string[] | undefined,
): readonly SupplyHistory[] {
  const wanted = printers?.map((name) => name.toLowerCase());
  return all
    .filter(({ printer }) => wanted === undefined || wanted.includes(printer.toLowerCase()))
    .map((history) => ({ ...history, readings: history.readings.filter(({ at }) => at <= until) }))
    .filter(({ readings }) => readings.length > 0);
}

interface BadLine {
  readonly line: number;
  readonly text: string;
}

async function readLines(path: string, gatherer: HistoryGatherer): Promise<readonly BadLine[]> {
  const { handle } = await openGiven(path, MEANT);
  const source = handle.createReadStream();
  const lines = parse({
    bom: true,
    info: true,
    relax_column_count: true,
    skip_empty_lines: true,
    max_record_size: MOST_LINE_BYTES,
  });
  source.on('error', (error) => lines.destroy(error));
  const wrong: BadLine[] = [];
  let header = true;
  try {
    for await (const { record, info } of source.pipe(lines) as AsyncIterable<{ record: string[]; info: Info }>) {
      const text = header ? wrongHeader(record) : complaint(record, gatherer);
      header = false;
      if (text !== undefined) wrong.push({ line: info.lines, text });
      if (wrong.length >= 1000 || (text !== undefined && info.lines === 1)) break;
    }
  } catch (error) {
    if ((error as NodeJS.ErrnoException).syscall !== undefined) throw unreadable('', path, error);
    const { lines: line, message } = error as CsvError & { readonly lines?: number };
    wrong.push({ line: line ?? 1, text: `not CSV that can be read: ${message}` });
  } finally {
    // It stands open still where reading was broken off.
    source.destroy();
  }
  return wrong;
}

/** Takes a line in; says what is wrong with it otherwise. */
function complaint(cells: readonly string[], gatherer: HistoryGatherer): string | undefined {
  const row = readRow(cells);
  if ('wrong' in row) return row.wrong;
  gatherer.add(row);
  return undefined;
}
