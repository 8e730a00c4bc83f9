import { readdir } from 'node:fs/promises';
import type { Config } from '../config/config.js';
import { calendarOf, DAY } from '../forecast/calendar.js';
import { ProgramProblem } from '../model/problem.js';
import type { SnapshotDocument } from '../model/snapshot.js';
import { safeFileName } from '../snapshot/file-names.js';
import type { Io } from './io.js';
import { loadSnapshot } from './snapshot-file.js';

/** When somebody was last there, and what the printers told then. */
export interface LastVisit {
  /** ISO 8601, UTC. */
  readonly at: string;
  readonly snapshot?: SnapshotDocument;
}

/** What a site without a name is called. */
export const NO_NAME = 'site';
const DATE = /^\d{4}-\d{2}-\d{2}$/;
/** A date, or a date with a time and its zone (RFC 3339). */
const MOMENT = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2})?(\.\d+)?(Z|[+-]\d{2}:\d{2}))?$/;

/**
 * The last visit as it was typed: a date of the site's own calendar, or a snapshot that was made for it. Without either the newest earlier snapshot of this
 * site in the current folder; undefined when there is none. ProgramProblem for what is neither a date nor a snapshot.
 */
export async function lastVisitOf(
  typed: string | undefined,
  { name: site = NO_NAME, timezone }: Pick<Config['site'], 'name' | 'timezone'>,
  io: Io,
): Promise<LastVisit | undefined> {
  const now = io.now().toISOString();
  if (typed === undefined) return newestBeside(site, now, io);
  if (!MOMENT.test(typed)) return visitOf((await loadSnapshot(typed, io.cwd)).site);
  const at = DATE.test(typed) ? calendarOf(timezone).momentOf(Date.parse(typed) / DAY) : Date.parse(typed);
  if (Number.isNaN(at) || !isDay(typed.slice(0, 10))) throw unusable(`${typed} is no time of the calendar`);
  const visit = { at: new Date(at).toISOString() };
  if (visit.at > now) throw unusable(`${typed} lies in the future`);
  return visit;
}

/** JavaScript takes 30 February for 2 March. */
function isDay(date: string): boolean {
  const at = Date.parse(date);
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(date);
}

/** `--next-visit`: an ISO 8601 date that is not over yet where the site is. */
export function nextVisitOf(typed: string, timezone: string | undefined, io: Io): string {
  if (!DATE.test(typed) || !isDay(typed))
    throw unusable(`--next-visit takes a date such as 2026-03-31, not "${typed.slice(0, 60)}"`);
  if (typed < calendarOf(timezone).dateOf(io.now().getTime())) throw unusable(`--next-visit ${typed} is over`);
  return typed;
}

function unusable(why: string): ProgramProblem {
  const sentence = `${why.charAt(0).toUpperCase()}${why.slice(1)}`;
  return new ProgramProblem('visit-date', `${sentence}; give a date, or for the last visit a snapshot.`);
}

/** Names end in the time of making, so the last by name is the newest. One that can't be read is told of and passed over. */
async function newestBeside(site: string, now: string, io: Io): Promise<LastVisit | undefined> {
  const start = `outfeed-${safeFileName(site)}-`;
  const names = await readdir(io.cwd).catch(() => []);
  const made = names.filter(
    (name) => name.startsWith(start) && /^\d{4}-\d{2}-\d{2}-\d{4}/.test(name.slice(start.length)),
  );
  for (const name of made.sort().reverse()) {
    try {
      const { site: snapshot } = await loadSnapshot(name, io.cwd);
      // Stand-ins are given anew each time: a redacted one tells nothing of these printers.
      if (!snapshot.redacted && snapshot.site === site && snapshot.madeAt < now) return visitOf(snapshot);
    } catch (error) {
      if (!(error instanceof ProgramProblem)) throw error;
      io.stderr(`${error.message} It does not count as the last visit.\n`);
    }
  }
  return undefined;
}

function visitOf(snapshot: SnapshotDocument): LastVisit {
  return { at: snapshot.madeAt, snapshot };
}
