import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { renderComparison } from '../render/compare-text.js';
import { forTerminal } from '../render/escape.js';
import { renderJson } from '../render/json.js';
import { compareSnapshots } from '../snapshot/compare.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { type LoadedSnapshot, loadSnapshot } from './snapshot-file.js';
import { writeWhole } from './whole-file.js';

export interface CompareArgs {
  /** Folders or archives that `snapshot` wrote, in any order: their times say which is the older one. */
  readonly old: string;
  readonly now: string;
  /** File that a page is written to as well. */
  readonly html?: string;
  readonly options: CommonOptions;
}

/** Tells what changed between two snapshots. Exit 0: nothing is broken in the newer one. 1: something is. */
export async function runCompare({ old, now, html, options }: CompareArgs, io: Io): Promise<ExitCode> {
  const read = [await loadTold(old, options, io), await loadTold(now, options, io)] as const;
  refuseStandIns(read, [old, now]);
  const sites = [read[0].site, read[1].site] as const;
  const [before, after] = Date.parse(sites[0].madeAt) <= Date.parse(sites[1].madeAt) ? sites : [sites[1], sites[0]];
  if (before !== sites[0] && !options.quiet)
    io.stderr('The first is the newer one: they are compared the other way round.\n');
  const document = compareSnapshots(before, after);
  if (html !== undefined) {
    const { renderComparePage } = await import('../render/compare-html.js');
    await writeWhole(html, renderComparePage(document), io.cwd);
  }
  const text = { color: io.color && options.color, columns: io.columns };
  io.stdout(options.json ? renderJson(document) : renderComparison(document, text));
  return document.broken.length + document.still.length > 0 ? EXIT.fault : EXIT.nothingWrong;
}

const MOST_NAMED = 3;
/** A clock that is off by more makes a difference in what is told of days. Seconds. */
const CLOCK_OFF = 300;
/** One device with a wrong clock says nothing of the machine that asked. */
const FEWEST_CLOCKS = 3;

/** Reads one, and tells of files beside it that are not part of it: they are not read, and what they say counts for nothing. */
async function loadTold(name: string, options: CommonOptions, io: Io): Promise<LoadedSnapshot> {
  const loaded = await loadSnapshot(name, io.cwd);
  const { unlisted } = loaded;
  if (unlisted.length > 0 && !options.quiet) {
    const shown = unlisted.slice(0, MOST_NAMED).map((path) => forTerminal(path, 80));
    const more = unlisted.length > MOST_NAMED ? ` and ${unlisted.length - MOST_NAMED} more` : '';
    io.stderr(
      `In ${forTerminal(name, 200)} the manifest does not list ${shown.join(', ')}${more}: not written by outfeed, and left alone.\n`,
    );
  }
  const { clock } = loaded.manifest;
  if (
    clock !== undefined &&
    clock.devices >= FEWEST_CLOCKS &&
    Math.abs(clock.offsetSeconds) > CLOCK_OFF &&
    !options.quiet
  ) {
    const minutes = Math.round(Math.abs(clock.offsetSeconds) / 60);
    const way = clock.offsetSeconds > 0 ? 'behind' : 'ahead of';
    io.stderr(
      `The clock that ${forTerminal(name, 200)} was made by is ${minutes} min ${way} most of the ${clock.devices} printers that told theirs: its times may be wrong.\n`,
    );
  }
  return loaded;
}

/** Stand-ins are given anew in each snapshot, so "printer-3" of one may be "printer-4" of another. */
function refuseStandIns(read: readonly [LoadedSnapshot, LoadedSnapshot], names: readonly [string, string]): void {
  const [one, other] = read.map(({ site }) => site.redacted);
  if (one !== true && other !== true) return;
  if (JSON.stringify(read[0].manifest) === JSON.stringify(read[1].manifest)) return;
  const which = one === other ? 'Both are redacted' : `${forTerminal(names[one ? 0 : 1], 200)} is redacted`;
  throw new ProgramProblem(
    'snapshot-redacted',
    `${which}, and stand-ins are given anew in each snapshot, so nobody can tell which printer is which; compare the ones that were made without --redact.`,
  );
}
