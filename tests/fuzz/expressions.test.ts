import { check } from 'recheck';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { sourceFiles } from '../house/source-files.js';

/**
 * No text from outside may make a regular expression take more than a multiple of its length. Every expression of src is judged by
 * `recheck` (automata, and a search for attack strings where they don't apply). One that is not linear stands below, with the length
 * that its caller keeps to: up to there no attack may cost more than STEPS.
 */
const BOUNDED: readonly { readonly file: RegExp; readonly most: number; readonly by: string }[] = [
  { file: /^ladder\/(device|supplies)\/reasons\.ts$/, most: 255, by: 'claimedBy in ladder/signals.ts' },
  { file: /^facts\/condition\/display-words\.ts$/, most: 512, by: 'spoken in facts/condition/from-words.ts' },
  { file: /^forecast\/history-csv\.ts$/, most: 200, by: 'MOST_NAME' },
  { file: /^redact\/walk\.ts$/, most: 1_000, by: 'LONGEST_ROW' },
  { file: /^render\/site-printer\.ts$/, most: 25, by: 'the digits of a number' },
];
const STEPS = 3_000_000;
const PATIENCE_MS = 600_000;

interface Expression {
  readonly file: string;
  readonly source: string;
  readonly flags: string;
}

const files = sourceFiles();

function expressionsOf(): readonly Expression[] {
  const found = new Map<string, Expression>();
  for (const { path, tree } of files) {
    const visit = (node: ts.Node): void => {
      if (ts.isRegularExpressionLiteral(node)) {
        const end = node.text.lastIndexOf('/');
        found.set(node.text, { file: path, source: node.text.slice(1, end), flags: node.text.slice(end + 1) });
      }
      ts.forEachChild(node, visit);
    };
    visit(tree);
  }
  return [...found.values()];
}

/** Undefined when it is linear, or cheap up to its length; else what an attack looks like. */
async function weakness({ file, source, flags }: Expression): Promise<string | undefined> {
  const open = await check(source, flags, { timeout: PATIENCE_MS });
  if (open.status === 'safe') return undefined;
  const bound = BOUNDED.find((one) => one.file.test(file));
  const attack = open.status === 'vulnerable' ? `${open.complexity.summary}: ${open.attack.pattern}` : open.error.kind;
  if (bound === undefined) return attack;
  const short = { checker: 'fuzz', maxAttackStringSize: bound.most, attackLimit: STEPS, timeout: PATIENCE_MS } as const;
  const bounded = await check(source, flags, short);
  return bounded.status === 'safe' ? undefined : `within ${bound.most} characters: ${attack}`;
}

describe('regular expressions', () => {
  test('are written out, so that they can be judged', () => {
    const made = files.filter(({ text }) => /\bRegExp\(/.test(text)).map(({ path }) => path);
    expect(made).toEqual([]);
  });

  test('the judge knows a bad one', async () => {
    expect(await weakness({ file: 'x.ts', source: '^(a+)+$', flags: '' })).toMatch(/exponential/);
    expect(await weakness({ file: 'render/site-printer.ts', source: '^(a+)+$', flags: '' })).toMatch(/within 25/);
  });

  test('none takes more time than in proportion to its text', { timeout: 1_800_000 }, async () => {
    const all = expressionsOf();
    expect(all.length).toBeGreaterThan(400);
    const weak: string[] = [];
    for (const one of all) {
      const found = await weakness(one);
      if (found !== undefined) weak.push(`${one.file}: /${one.source}/${one.flags}: ${found}`);
    }
    expect(weak).toEqual([]);
  });
});
