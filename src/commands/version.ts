import { readFileSync } from 'node:fs';

/** Version of this program, from the package it came in. */
export function programVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { readonly version: string }).version;
}
