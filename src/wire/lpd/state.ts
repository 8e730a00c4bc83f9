/**
 * Reads a daemon's queue state. RFC 1179 5.3 and 5.4 give it as text for people and define no form; the usual lines
 * (status, a heading, a row for each job) are common practice, no published source. Best effort, and bounded.
 */
import { replyText } from '../reply-text.js';

/** A state of a few hundred jobs fits; more is not read. */
export const MOST_STATE_OCTETS = 65_536;
const MOST_LINES = 2000;
const MOST_LINE = 400;

export interface LpdJob {
  /** `active`, `1st`, `2nd` …, as written. */
  readonly rank: string;
  readonly owner: string;
  readonly job: number;
  readonly files: string;
  /** Octets; null where the row names none. */
  readonly bytes: number | null;
}

export interface LpdState {
  /** Lines about the queue itself. */
  readonly status: readonly string[];
  readonly jobs: readonly LpdJob[];
  /** The daemon says in so many words that nothing waits. */
  readonly empty: boolean;
  /** Printing is switched off or the printer is down, by the daemon's word. */
  readonly stopped: boolean;
  /** Takes no new jobs. */
  readonly closed: boolean;
  /** The daemon knows no such queue. */
  readonly unknownQueue: boolean;
}

const NO_ENTRIES = /^\s*no entries\b/i;
const HEADING = /^\s*rank\s+owner\b/i;
const SHORT_ROW = /^\s*(active|stalled|hold|\d{1,6}(?:st|nd|rd|th))\s+(\S{1,100})\s+(\d{1,9})\s+(\S.*)$/i;
const LONG_ROW = /^\s*(\S{1,100}):\s+(active|stalled|hold|\d{1,6}(?:st|nd|rd|th))\s.*\[job (\d{1,9})/i;
const SIZE = /\s(\d{1,15}) (?:bytes|octets)\s*$/i;

const STOPPED = /\b(printing (is )?disabled|is (down|stopped|paused|disabled)|not ready|off-?line)\b/i;
const CLOSED = /\b(queue?ing (is )?disabled|(not accepting|rejecting) (jobs|requests))\b/i;
const UNKNOWN = /\b(unknown (printer|queue)|no such (printer|queue)|non-?existent (printer|queue))\b/i;

/** Octets of a reply as text: lines of at most 400 characters, at most 2000 of them, without control characters. */
export function stateText(octets: Uint8Array): string {
  const text = replyText(octets.subarray(0, MOST_STATE_OCTETS)).replace(/\f/g, '\n');
  return text
    .split(/\r\n|\n|\r/, MOST_LINES)
    .map((line) => line.slice(0, MOST_LINE).trimEnd())
    .join('\n')
    .trim();
}

/** Takes a state's text apart. Never throws; lines that nobody knows count as words about the queue. */
export function readState(text: string): LpdState {
  const lines = text.split('\n', MOST_LINES).map((line) => line.slice(0, MOST_LINE));
  const status: string[] = [];
  const jobs: LpdJob[] = [];
  let inLongRow = false;
  for (const line of lines) {
    const job = shortRow(line) ?? longRow(line);
    if (job !== undefined) {
      jobs.push(job);
      inLongRow = LONG_ROW.test(line);
    } else if (inLongRow && /^\s/.test(line)) {
      const last = jobs.pop();
      if (last !== undefined) jobs.push(withFile(last, line));
    } else if (line.trim() !== '' && !HEADING.test(line) && !NO_ENTRIES.test(line)) {
      inLongRow = false;
      status.push(line.trim());
    }
  }
  return {
    status,
    jobs,
    empty: jobs.length === 0 && lines.some((line) => NO_ENTRIES.test(line)),
    stopped: status.some((line) => STOPPED.test(line.replace(CLOSED, ''))),
    closed: status.some((line) => CLOSED.test(line)),
    unknownQueue: status.some((line) => UNKNOWN.test(line)),
  };
}

function shortRow(line: string): LpdJob | undefined {
  const match = SHORT_ROW.exec(line);
  if (match === null) return undefined;
  const [, rank = '', owner = '', job = '', rest = ''] = match;
  return { rank, owner, job: Number(job), ...filesOf(rest) };
}

function longRow(line: string): LpdJob | undefined {
  const match = LONG_ROW.exec(line);
  if (match === null) return undefined;
  const [, owner = '', rank = '', job = ''] = match;
  return { rank, owner, job: Number(job), files: '', bytes: null };
}

/** A long row's further lines name a file and its size each. */
function withFile(job: LpdJob, line: string): LpdJob {
  const { files, bytes } = filesOf(line);
  const names = [job.files, files]
    .filter((name) => name !== '')
    .join(', ')
    .slice(0, MOST_LINE);
  return { ...job, files: names, bytes: bytes === null ? job.bytes : (job.bytes ?? 0) + bytes };
}

function filesOf(text: string): Pick<LpdJob, 'files' | 'bytes'> {
  const size = SIZE.exec(text);
  const bytes = size === null ? null : Number(size[1]);
  return { files: (size === null ? text : text.slice(0, size.index)).trim(), bytes };
}
