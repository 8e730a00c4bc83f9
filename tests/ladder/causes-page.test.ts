import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { causesPage } from '../../src/ladder/causes-page.js';
import { LADDER } from '../../src/ladder/ladder.js';

const page = causesPage();

test('the page in shared/docs is the knowledge of this version: run "npm run generate"', () => {
  expect(readFileSync(new URL('../../shared/docs/causes.md', import.meta.url), 'utf8')).toBe(page);
});

test('every cause has its row, its words and its steps, with no placeholder left', () => {
  const all = LADDER.flatMap(({ causes }) => Object.keys(causes));
  expect(page.match(/^### .+$/gm)).toEqual(all.map((id) => `### ${id}`));
  for (const id of all) expect(page).toContain(`| \`${id}\``);
  expect(page).not.toMatch(/\{\w|undefined|null/);
});
