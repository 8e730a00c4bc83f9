import { constants, type Stats } from 'node:fs';
import { type FileHandle, open, stat } from 'node:fs/promises';
import { ProgramProblem } from '../model/problem.js';

/** What a file that somebody named is meant to be. */
export interface Meant {
  /** As in a sentence: "the evidence". Empty where the file's own name says enough. */
  readonly what: string;
  readonly mostBytes: number;
  /** What a larger one is larger than: "any saved evidence". */
  readonly than: string;
}

/** Pipes that a shell hands over by name: `/dev/stdin`, and `/dev/fd/63` for `<(…)`. Somebody writes into them already. */
const HANDED_OVER = /^\/(?:dev\/(?:stdin|fd\/\d{1,9})|proc\/self\/fd\/\d{1,9})$/;
/** Opening a pipe waits for a writer otherwise. Windows has no such pipes. */
const WITHOUT_WAITING = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** A named file, open to be read. Whoever opens it closes it. */
export interface OpenFile {
  readonly handle: FileHandle;
  /** Of a pipe 0. */
  readonly bytes: number;
}

/**
 * Opens a file that a person or the configuration named. Plain files only, and pipes that a shell handed over: any other pipe might
 * be waited for without end, a device read without end. ProgramProblem in one sentence for all others.
 */
export async function openGiven(file: string, meant: Meant): Promise<OpenFile> {
  const { what, mostBytes } = meant;
  let handle: FileHandle | undefined;
  try {
    const isPipe = refuseKind(await stat(file), file, what);
    handle = await open(file, isPipe ? constants.O_RDONLY : WITHOUT_WAITING);
    // Looked at again: something else may lie there by now.
    const found = await handle.stat();
    refuseKind(found, file, what);
    if (found.size > mostBytes) throw tooLarge(meant, file);
    return { handle, bytes: found.size };
  } catch (error) {
    await handle?.close();
    throw unreadable(what, file, error);
  }
}

/** Reads the whole of such a file, and no more than it may have: it may grow meanwhile. */
export async function readGiven(file: string, meant: Meant): Promise<Buffer> {
  const { what, mostBytes } = meant;
  const { handle } = await openGiven(file, meant);
  try {
    const parts: Buffer[] = [];
    let length = 0;
    for await (const part of handle.createReadStream({ autoClose: false, end: mostBytes }) as AsyncIterable<Buffer>) {
      length += part.length;
      parts.push(part);
    }
    if (length > mostBytes) throw tooLarge(meant, file);
    return Buffer.concat(parts);
  } catch (error) {
    throw unreadable(what, file, error);
  } finally {
    await handle.close();
  }
}

/** True for a pipe that may be read. */
function refuseKind(found: Stats, file: string, what: string): boolean {
  if (found.isFile()) return false;
  if (found.isFIFO() && HANDED_OVER.test(file)) return true;
  throw problem(what, file, kindOf(found));
}

function kindOf(found: Stats): string {
  if (found.isDirectory()) return 'it is a folder';
  if (found.isFIFO()) return 'it is a pipe, not a file';
  return found.isSocket() ? 'it is a socket, not a file' : 'it is a device, not a file';
}

function tooLarge({ what, mostBytes, than }: Meant, file: string): ProgramProblem {
  return problem(what, file, `it is larger than ${than} (more than ${mostBytes / 1e6} MB)`);
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EACCES: 'this user may not read it',
  EISDIR: 'it is a folder',
  ENOTDIR: 'part of its path is no folder',
  ELOOP: 'its links lead in a circle',
  ENAMETOOLONG: 'its name is too long',
  ERR_ENCODING_INVALID_ENCODED_DATA: 'it is not UTF-8 text',
};

/** The sentence for a file that can't be read; a ProgramProblem stays what it is. */
export function unreadable(what: string, file: string, error: unknown): ProgramProblem {
  if (error instanceof ProgramProblem) return error;
  const code = String((error as NodeJS.ErrnoException).code ?? '');
  return problem(what, file, REASONS[code] ?? code);
}

function problem(what: string, file: string, why: string): ProgramProblem {
  return new ProgramProblem('file-unreadable', `Can't read ${what === '' ? '' : `${what} `}${file}: ${why}.`);
}
