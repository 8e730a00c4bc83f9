/** Writes the page of all causes to `shared/docs`. Part of `npm run generate`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { causesPage } from '../ladder/causes-page.js';

const folder = new URL('../../shared/docs/', import.meta.url);
mkdirSync(folder, { recursive: true });
writeFileSync(new URL('causes.md', folder), causesPage());
