import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Office, startOffice } from '../../src/demo/office.js';
import { outfeed } from './captured-io.js';

const README = new URL('../../README.md', import.meta.url);
const PREFIX = '127.77.20';

/** Ids count what could be asked, and a machine without the system's echo asks less. */
const unnumbered = (text: string): string => text.replaceAll(/^ {2}e\d+ +/gm, '  e ');

let office: Office;
let folder: string;
beforeAll(async () => {
  office = await startOffice({ prefix: PREFIX });
  folder = mkdtempSync(join(tmpdir(), 'outfeed-readme-'));
  writeFileSync(join(folder, 'outfeed.yaml'), office.configText);
});
afterAll(async () => {
  await office.close();
  rmSync(folder, { recursive: true, force: true });
});

/** The answer in README.md is a real one. `UPDATE_README=1` writes it anew. */
test('the answer that README shows is the one that is given', async () => {
  const { out } = await outfeed(['why', 'chart-room'], { cwd: folder });
  const answer = out.replaceAll(PREFIX, '127.77.0');
  const text = readFileSync(README, 'utf8');
  const parts = /^([\s\S]*<!-- why:start -->\n)[\s\S]*(<!-- why:end -->[\s\S]*)$/.exec(text);
  const wanted = `${parts?.[1]}\`\`\`text\n$ outfeed why chart-room\n${answer.trimEnd()}\n\`\`\`\n${parts?.[2]}`;
  if (process.env.UPDATE_README === '1') writeFileSync(README, wanted);
  else expect(unnumbered(text)).toBe(unnumbered(wanted));
});

test('the two commands of README are those of the package', () => {
  const text = readFileSync(README, 'utf8');
  const scripts = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')).scripts;
  expect(text).toContain('npm ci && npm run demo');
  expect(text).toContain('npm ci && npm test');
  expect(Object.keys(scripts)).toEqual(expect.arrayContaining(['demo', 'test', 'check', 'build', 'generate', 'bench']));
});
