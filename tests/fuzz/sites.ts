/** Evidence of every made-up site, with any of its values spoilt: whatever a probe may one day put there is judged. */
import { Buffer } from 'node:buffer';
import { readBundle } from '../../src/commands/bundle-file.js';
import { bundleOf } from '../ladder/bundle.js';
import { CASES } from '../ladder/sites.js';
import { orProblem } from './files.js';
import { mutateJson } from './mutate-json.js';
import { type Case, type FuzzTarget, mustBeJudged, mustBeSound } from './target.js';

const SITES = CASES.map(({ site }) => JSON.stringify(bundleOf(site)));

function judgeSpoilt({ draw, served }: Case): void {
  const text = mutateJson(SITES[draw(SITES.length)] ?? '', draw);
  served.push(Buffer.from(text));
  const bundle = orProblem(() => readBundle(text, 'saved.json'));
  if (bundle === undefined) return;
  mustBeJudged(bundle);
  mustBeSound(bundle.evidence);
}

export const sitesTarget: FuzzTarget = { name: 'sites', share: 0.05, run: judgeSpoilt };
