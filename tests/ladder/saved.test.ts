import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';
import { judge } from '../../src/verdict/verdict.js';

interface Kept {
  readonly silent: boolean | null;
  readonly verdict: string;
  readonly certainty: string;
  readonly component: string | null;
  readonly others: readonly string[];
  readonly layers: string;
}

function kept(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`./saved/${name}.json`, import.meta.url), 'utf8'));
}

function gist({ silent, verdict, others, layers }: WhyDocument): Kept {
  return {
    silent,
    verdict: `${verdict.layer}/${verdict.cause}`,
    certainty: verdict.certainty,
    component: verdict.component ?? null,
    others: others.map(({ layer, cause }) => `${layer}/${cause}`),
    layers: layers.map(({ state }) => state).join(' '),
  };
}

const VERDICTS = Object.entries(kept('verdicts') as Record<string, Kept>);

/**
 * Evidence that earlier versions kept, of `outfeed.evidence/1`. These files are never written again: a later version may say it in
 * other words, but judges them alike.
 */
test.each(VERDICTS)('evidence kept earlier is judged as it was: %s', (name, verdict) => {
  expect(gist(judge(kept(name) as EvidenceBundle))).toEqual(verdict);
});
