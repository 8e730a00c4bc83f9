import { readdir, readFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { WordIndex } from '../redact/word-index.js';

/** Where the program's own text lies: `dist` once it is built, `src` before. */
const HOME = /^(dist|src)$/;

/**
 * Which of these words the program itself uses. They tell nothing of anybody where they stand in a sentence, and nobody can
 * say whether they came from a printer: a place that is called "toner" is hidden as a place, the toner is not.
 */
export async function ownWords(words: readonly string[]): Promise<ReadonlySet<string>> {
  const index = new WordIndex(words.map((word) => [word, word.toLowerCase()] as const));
  const found = new Set<string>();
  for (const text of await ownTexts()) for (const { meaning } of index.find(text)) found.add(meaning);
  return new Set(words.filter((word) => found.has(word.toLowerCase())));
}

async function ownTexts(): Promise<readonly string[]> {
  const here = dirname(fileURLToPath(import.meta.url));
  const home = [here, dirname(here)].find((folder) => HOME.test(basename(folder)));
  if (home === undefined) return [];
  const names = await readdir(home, { recursive: true });
  const files = names.filter((name) => /\.(c?js|ts)$/.test(name) && !/(^|[\\/])demo\b/.test(name));
  return Promise.all(files.map((name) => readFile(join(home, name), 'utf8')));
}
