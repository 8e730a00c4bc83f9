/** Writes the JSON Schemas of all outputs to `shared/schemas`. Part of `npm run generate`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { jsonSchemas } from '../config/json-schemas.js';

const folder = new URL('../../shared/schemas/', import.meta.url);
mkdirSync(folder, { recursive: true });
for (const [name, text] of Object.entries(jsonSchemas())) writeFileSync(new URL(name, folder), text);
