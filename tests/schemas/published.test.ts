import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { jsonSchemas } from '../../src/config/json-schemas.js';
import { closed, published } from './validator.js';

const folder = new URL('../../shared/schemas/', import.meta.url);

describe('shared/schemas', () => {
  test('holds what "npm run generate" writes, and nothing else', () => {
    const made = jsonSchemas();
    expect(readdirSync(folder).sort()).toEqual(Object.keys(made).sort());
    for (const [name, text] of Object.entries(made)) {
      expect(readFileSync(new URL(name, folder), 'utf8'), `${name} is out of date: npm run generate`).toBe(text);
    }
  });

  test.each(Object.keys(jsonSchemas()).map((file) => file.replace('-1.json', '')))('%s compiles, strictly', (name) => {
    expect(published(name)({})).toBe(name === 'config');
    expect(closed(name)(7)).toBe(false);
  });

  test('the example configuration is valid', () => {
    const text = readFileSync(new URL('../../config/outfeed.example.yaml', import.meta.url), 'utf8');
    const validate = published('config');
    expect(validate(parse(text)), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ printer: [] })).toBe(false);
  });
});
