/**
 * The PJL wrapper around a job: Universal Exit, lines that begin with @PJL, then the job itself, in the language that
 * ENTER LANGUAGE names. Octets from the signature database of file(1); the lines: common practice, no published source.
 */

const UEL = '\u001b%-12345X';
const MOST_LINES = 500;
const ENTER = /^@PJL\s{1,20}ENTER\s{1,20}LANGUAGE\s{0,20}=\s{0,20}"?([A-Za-z0-9 ._/-]{1,40}?)"?\s{0,20}$/i;
const RESOLUTION = /^@PJL\s{1,20}SET\s{1,20}RESOLUTION\s{0,20}=\s{0,20}(\d{2,5})\s{0,20}$/i;

export interface Wrapper {
  /** True when there was a wrapper at all. */
  readonly wrapped: boolean;
  /** Name after ENTER LANGUAGE=, as written. */
  readonly enters?: string;
  /** Dots per inch of SET RESOLUTION=. */
  readonly dpi?: number;
  /** What follows the wrapper, one character for each octet. */
  readonly inside: string;
}

/** Unwraps a job given as one character for each octet. Reads at most 500 lines of the wrapper. */
export function unwrap(job: string): Wrapper {
  let rest = afterExit(job);
  const wrapped = rest.length < job.length || /^@PJL[\s]/i.test(rest);
  if (!wrapped) return { wrapped, inside: job };
  let dpi: number | undefined;
  for (let line = 0; line < MOST_LINES; line += 1) {
    rest = afterExit(rest);
    if (!/^@PJL/i.test(rest)) return { wrapped, ...(dpi === undefined ? {} : { dpi }), inside: rest };
    const end = rest.indexOf('\n');
    const text = (end < 0 ? rest : rest.slice(0, end)).slice(0, 400).trimEnd();
    rest = end < 0 ? '' : rest.slice(end + 1);
    const set = RESOLUTION.exec(text);
    if (set !== null) dpi = Number(set[1]);
    const enter = ENTER.exec(text);
    if (enter?.[1] !== undefined) {
      return { wrapped, enters: enter[1], ...(dpi === undefined ? {} : { dpi }), inside: rest };
    }
  }
  return { wrapped, ...(dpi === undefined ? {} : { dpi }), inside: '' };
}

/** Steps over Universal Exit sequences, and NULs that some drivers put before them. */
function afterExit(text: string): string {
  let rest = text;
  for (;;) {
    const start = /^\0{0,64}/.exec(rest)?.[0].length ?? 0;
    if (!rest.startsWith(UEL, start)) return rest;
    rest = rest.slice(start + UEL.length);
  }
}
