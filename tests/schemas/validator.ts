import { readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import formats from 'ajv-formats';
import { jsonSchemas } from '../../src/config/json-schemas.js';

const folder = new URL('../../shared/schemas/', import.meta.url);

/** A validator that nobody here wrote, over the committed schema of a document. */
export function published(name: string): ValidateFunction {
  return compiled(readFileSync(new URL(`${name}-1.json`, folder), 'utf8'));
}

/** The same over the strict form: a key that the schema does not name is an error. */
export function closed(name: string): ValidateFunction {
  return compiled(jsonSchemas(true)[`${name}-1.json`] ?? 'false');
}

function compiled(text: string): ValidateFunction {
  const ajv = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true });
  formats.default(ajv);
  return ajv.compile(JSON.parse(text) as object);
}
