import { describe, expect, test } from 'vitest';
import { LADDER } from '../../src/ladder/ladder.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf } from '../ladder/bundle.js';
import { CASES } from '../ladder/sites.js';

/**
 * Causes that have words but that no evidence of one look at a printer, its network and its spooler's IPP can decide.
 * They need history, a managed switch, a print host's report or a person. The list may only shrink.
 */
const NOT_YET: readonly string[] = [];

describe('every cause', () => {
  const known = LADDER.flatMap((layer) => Object.keys(layer.causes).map((cause) => `${layer.id}/${cause}`));
  const shown = new Set(
    CASES.flatMap(({ site }) => {
      const { verdict, others, warnings } = judge(bundleOf(site));
      return [verdict, ...others, ...warnings].map((b) => `${b.layer}/${b.cause}`);
    }),
  );

  test('has a site that shows it, or stands in the list of those that can not be seen yet', () => {
    expect(known.filter((id) => !shown.has(id) && !NOT_YET.includes(id.split('/')[1] ?? ''))).toEqual([]);
  });

  test('the list of those that can not be seen yet holds no cause that a site shows', () => {
    expect(NOT_YET.filter((cause) => [...shown].some((id) => id.endsWith(`/${cause}`)))).toEqual([]);
  });

  test('no site shows a cause without words', () => {
    expect([...shown].filter((id) => !known.includes(id))).toEqual([]);
  });
});
