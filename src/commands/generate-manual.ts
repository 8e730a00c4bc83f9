/** Writes the man page and the completions of shells to `shared`. Part of `npm run generate`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { manualFiles } from './manual-files.js';

for (const [path, text] of Object.entries(manualFiles())) {
  const file = new URL(`../../shared/${path}`, import.meta.url);
  mkdirSync(new URL('.', file), { recursive: true });
  writeFileSync(file, text);
}
