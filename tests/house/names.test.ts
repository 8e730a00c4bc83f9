import { readdirSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { ROOT, sourceFiles } from './source-files.js';

const files = sourceFiles();
const DRAWERS = new Set(['utils', 'util', 'helpers', 'helper', 'common', 'misc', 'base', 'manager', 'types', 'lib']);

describe('files and folders', () => {
  test('are named after their subject', () => {
    const wrong = files.filter((f) =>
      f.path
        .replace(/\.ts$/, '')
        .split('/')
        .some((part) => DRAWERS.has(part)),
    );
    expect(wrong.map((f) => f.path)).toEqual([]);
  });

  test('logic stays readable: tables may be long, files with functions stay under 400 lines', () => {
    const hasFunction = (tree: ts.SourceFile): boolean => {
      let found = false;
      const visit = (node: ts.Node): void => {
        found ||= ts.isFunctionDeclaration(node);
        if (!found) ts.forEachChild(node, visit);
      };
      visit(tree);
      return found;
    };
    const long = files.filter((f) => f.text.split('\n').length > 400 && hasFunction(f.tree));
    expect(long.map((f) => f.path)).toEqual([]);
  });

  test('the top level holds what it should and little else', () => {
    const expected = [
      'DEVELOPERS.md',
      'LICENSE',
      'README.md',
      'biome.json',
      'config',
      'package-lock.json',
      'package.json',
      'shared',
      'src',
      'tests',
      'tsconfig.json',
      'vitest.config.ts',
    ];
    const ignored = ['node_modules', 'dist', 'coverage'];
    const found = readdirSync(ROOT).filter((name) => !name.startsWith('.') && !ignored.includes(name));
    expect(found.filter((name) => !name.endsWith('.tgz') && !name.endsWith('.log')).sort()).toEqual(expected);
  });
});

test('no unfinished marks in the sources', () => {
  const marks = /\b(TO\s?DO|FIX\s?ME|X{3})\b/;
  expect(files.filter((f) => marks.test(f.text)).map((f) => f.path)).toEqual([]);
});
