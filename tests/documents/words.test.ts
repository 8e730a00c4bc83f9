import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { buildProgram } from '../../src/commands/program.js';
import { SILENT } from '../commands/silent-io.js';
import { blocksOf, DOCUMENTS, proseOf, ROOT } from './read.js';

/** What the documents for users name within their sentences; those for contributors speak of other programs' options too. */
const spans = DOCUMENTS.filter((name) => name === 'README.md' || name.startsWith('shared/docs/')).flatMap((document) =>
  [...proseOf(document).matchAll(/`([^`\n]+)`/g)].map(([, text = '']) => ({ document, text })),
);
const shown = ({ document, text }: (typeof spans)[number]): string => `${document}: ${text}`;

describe('what the documents name', () => {
  test('each option is one of some command', () => {
    const program = buildProgram(SILENT, () => undefined);
    const known = new Set([program, ...program.commands].flatMap(({ options }) => options.map(({ long }) => long)));
    const named = spans.filter(({ text }) => /^(outfeed\b.* )?--[a-z]/.test(text));
    expect(named.length).toBeGreaterThan(20);
    const lost = named.filter(({ text }) =>
      [...text.matchAll(/(?<=^| )--[a-z][a-z-]*/g)].some(([long]) => !known.has(long)),
    );
    expect(lost.map(shown)).toEqual([]);
  });

  test('each command is one', () => {
    const known = new Set(buildProgram(SILENT, () => undefined).commands.map((command) => command.name()));
    const named = spans.filter(({ text }) => /^outfeed [a-z][a-z-]*/.test(text));
    const lost = named.filter(({ text }) => !known.has(text.split(' ')[1] ?? ''));
    expect(lost.map(shown)).toEqual([]);
  });

  test('each key of the configuration is one', () => {
    const reference = readFileSync(`${ROOT}shared/docs/configuration.md`, 'utf8').replaceAll('[]', '');
    const known = [...reference.matchAll(/^\| `([^`]+)`/gm)].map(([, key = '']) => key);
    const blocks = [...new Set(known.map((key) => key.split('.')[0] ?? ''))];
    const named = spans.filter(({ document, text }) => {
      const block = /^([a-z]+)\.[A-Za-z.]+$/.exec(text)?.[1] ?? '';
      return !document.endsWith('configuration.md') && blocks.includes(block);
    });
    expect(named.length).toBeGreaterThan(5);
    expect(named.filter(({ text }) => !known.includes(text)).map(shown)).toEqual([]);
  });

  test('each block is of a kind that a test reads', () => {
    const kinds = new Set(['sh', 'bat', 'cron', 'sql', 'yaml', 'ini']);
    const other = DOCUMENTS.flatMap(blocksOf).filter(({ language }) => !kinds.has(language));
    // An answer that tests/commands/readme.test.ts compares, and two lines that many-sites.test.ts puts into place.
    const placed = other.filter(({ text }) => /^(\$ outfeed why |hostssl |postgres:)/.test(text));
    expect(other.map(({ document, line }) => `${document}:${line}`)).toEqual(
      placed.map(({ document, line }) => `${document}:${line}`),
    );
  });
});
