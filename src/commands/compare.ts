import { EXIT, type ExitCode } from '../model/problem.js';
import { renderComparison } from '../render/compare-text.js';
import { renderJson } from '../render/json.js';
import { compareSnapshots } from '../snapshot/compare.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { loadSnapshot } from './snapshot-file.js';

export interface CompareArgs {
  /** Folders or archives that `snapshot` wrote, in any order: their times say which is the older one. */
  readonly old: string;
  readonly now: string;
  readonly options: CommonOptions;
}

/** Tells what changed between two snapshots. Exit 0: nothing is broken in the newer one. 1: something is. */
export async function runCompare({ old, now, options }: CompareArgs, io: Io): Promise<ExitCode> {
  const read = [await loadSnapshot(old, io.cwd), await loadSnapshot(now, io.cwd)] as const;
  const [before, after] = Date.parse(read[0].madeAt) <= Date.parse(read[1].madeAt) ? read : [read[1], read[0]];
  if (before !== read[0] && !options.quiet)
    io.stderr('The first is the newer one: they are compared the other way round.\n');
  const document = compareSnapshots(before, after);
  const text = { color: io.color && options.color, columns: io.columns };
  io.stdout(options.json ? renderJson(document) : renderComparison(document, text));
  return document.broken.length + document.still.length > 0 ? EXIT.fault : EXIT.nothingWrong;
}
