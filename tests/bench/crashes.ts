/** Precision and recall of the crash-loop finder over made-up histories, by guilt and by the number of crashes seen. */
import { FALSE_ACCUSATIONS } from '../../src/queues/crash-loop.js';
import { GUILTS, type Guilt, storyOf } from '../queues/histories.js';
import { type Outcome, outcomeOf } from '../queues/score.js';

const CRASHES = [1, 2, 3, 4, 6, 10, 20];
const STORIES = 50;

export async function run(): Promise<void> {
  let [told, wrong] = [0, 0];
  let [innocent, accused] = [0, 0];
  const lines = ['guilt              crashes  right  part  wrong  silent'];
  for (const guilt of GUILTS) {
    for (const crashes of CRASHES) {
      const counts = tally(guilt, crashes);
      told += STORIES;
      if (guilt === 'nobody') {
        innocent += STORIES;
        accused += counts.wrong;
      } else wrong += counts.wrong;
      lines.push(row(guilt, crashes, counts));
    }
  }
  lines.push(`${told} histories; where somebody was guilty, ${wrong} times somebody innocent was named`);
  lines.push(`${innocent} histories of random crashes: ${accused} accusations (stated rate ${FALSE_ACCUSATIONS})`);
  process.stdout.write(`${lines.join('\n')}\n`);
}

function tally(guilt: Guilt, crashes: number): Record<Outcome, number> {
  const counts: Record<Outcome, number> = { right: 0, part: 0, wrong: 0, silent: 0 };
  for (let seed = 1; seed <= STORIES; seed += 1)
    counts[outcomeOf(storyOf(100_000 + seed * 97 + crashes, guilt, crashes))] += 1;
  return counts;
}

function row(guilt: string, crashes: number, { right, part, wrong, silent }: Record<Outcome, number>): string {
  return `${guilt.padEnd(18)} ${[crashes, right, part, wrong, silent].map((n) => String(n).padStart(6)).join(' ')}`;
}
