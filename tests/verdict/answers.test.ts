import { describe, expect, test } from 'vitest';
import { OPERATOR_CHECKS } from '../../src/ladder/likelihood.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, type Site } from '../ladder/bundle.js';
import { CASES } from '../ladder/sites.js';

const siteOf = (name: string): Site => {
  const found = CASES.find((c) => c.name === name);
  if (!found) throw new Error(`no case is named "${name}"`);
  return found.site;
};

/** Silent, perhaps for want of power; and its queue says that the job at work waits for paper. */
const TWO_FAULTS: Site = {
  ...siteOf('the job at work waits for paper that the printer asks for'),
  ...siteOf('absent while a neighbour answers'),
};
const named = ({ layer, cause }: { readonly layer: string; readonly cause: string }) => `${layer}/${cause}`;

describe('answers that move the blame to another fault that evidence shows', () => {
  const before = judge(bundleOf(TWO_FAULTS));
  const after = judge(bundleOf({ ...TWO_FAULTS, answers: { 'panel-lit': 'lit', 'message-about': 'paper' } }));

  test('that fault keeps its certainty and the words that its evidence gave it', () => {
    const [other] = before.others;
    expect(named(before.verdict)).toBe('power/no-sign-of-life');
    expect(other?.cause).toBe('job-waits-for-media');
    expect(after.verdict).toMatchObject({ ...other });
  });

  test('and is not listed a second time', () => {
    expect(after.others.map(named)).not.toContain(named(after.verdict));
  });

  const outcomes = OPERATOR_CHECKS.flatMap(({ id, outcomes }) => outcomes.map((outcome) => ({ [id]: outcome })));
  const pairs = outcomes.flatMap((one, i) => outcomes.slice(i + 1).map((other) => ({ ...one, ...other })));
  test.each(['the job at work waits for paper that the printer asks for', 'name unknown', 'the resolver itself fails'])(
    'with no two answers does a fault stand twice: %s',
    (name) => {
      for (const answers of pairs) {
        const { verdict, others } = judge(bundleOf({ ...siteOf('nobody answers'), ...siteOf(name), answers }));
        const all = [verdict, ...others].map(named);
        expect(all, JSON.stringify(answers)).toEqual([...new Set(all)]);
      }
    },
  );
});
