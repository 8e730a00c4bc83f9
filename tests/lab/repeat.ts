/**
 * How often the repeat solver names the right part: simulated readings, seeded. `npx tsx tests/lab/repeat.ts [HOW MANY]`.
 * Prints one line for each set of conditions.
 */
import { tally } from '../defects/repeat-score.js';

const many = Number(process.argv[2] ?? 5000);
for (const line of tally(many)) console.log(line.text);
