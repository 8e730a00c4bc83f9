/** Precision and recall of the crash-loop finder over made-up histories, by guilt and by the number of crashes seen. */
import { FALSE_ACCUSATIONS } from '../../src/queues/crash-loop.js';
import { GUILTS, type Guilt, storyOf } from '../queues/histories.js';
import { type Outcome, outcomeOf } from '../queues/score.js';

const CRASHES = [1, 2, 3, 4, 6, 10, 20];
/** Of each guilt and number of crashes: 2,100 histories in all. */
const STORIES = 50;
/** What must hold: share of those named who are guilty, and of guilty jobs that are named once six crashes were seen. */
const LEAST_PRECISION = 0.98;
const LEAST_RECALL = 0.95;

type Counts = Record<Outcome, number>;

/** Tells the histories, says what came of them, and whether the targets are met. */
export function runCrashLoop(seed: number, say: (line: string) => unknown): boolean {
  const rows = GUILTS.flatMap((guilt) =>
    CRASHES.map((crashes) => ({ guilt, crashes, ...tally(seed, guilt, crashes) })),
  );
  say('guilt              crashes  right   part  wrong silent');
  for (const { guilt, crashes, right, part, wrong, silent } of rows) {
    say(`${guilt.padEnd(18)} ${[crashes, right, part, wrong, silent].map((n) => String(n).padStart(6)).join(' ')}`);
  }
  const sum = (key: Outcome, among: readonly Counts[]): number => among.reduce((total, row) => total + row[key], 0);
  const guilty = rows.filter(({ guilt }) => guilt !== 'nobody');
  const innocent = rows.filter(({ guilt, crashes }) => guilt === 'nobody' && crashes > 1);
  const named = sum('right', guilty) + sum('part', guilty);
  const precision = named / (named + sum('wrong', guilty));
  const jobs = guilty.filter(({ guilt, crashes }) => guilt.startsWith('job') && crashes >= 6);
  const recall = sum('right', jobs) / (jobs.length * STORIES);
  const accused = sum('wrong', innocent) / (innocent.length * STORIES);
  say(
    `${rows.length * STORIES} histories: precision ${percent(precision)}; guilty jobs named from six crashes on: ${percent(recall)}`,
  );
  say(
    `random crashes: somebody accused in ${percent(accused)} of ${innocent.length * STORIES}, stated ${percent(FALSE_ACCUSATIONS)} at most`,
  );
  const met = precision >= LEAST_PRECISION && recall >= LEAST_RECALL && accused <= FALSE_ACCUSATIONS;
  if (!met) say('MISSED: a target of the crash-loop finder');
  return met;
}

function tally(seed: number, guilt: Guilt, crashes: number): Counts {
  const counts: Counts = { right: 0, part: 0, wrong: 0, silent: 0 };
  for (let story = 1; story <= STORIES; story += 1)
    counts[outcomeOf(storyOf(seed + story * 97 + crashes, guilt, crashes))] += 1;
  return counts;
}

function percent(share: number): string {
  return `${(share * 100).toFixed(1)} %`;
}
