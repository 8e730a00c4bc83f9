import { chmodSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire, isBuiltin } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const ROOT = fileURLToPath(new URL('../', import.meta.url));
/** Small, and needed by every command: built in, so that no command waits for their files. */
const BUILT_IN = /^(commander|ipaddr\.js)$/;
const MAIN = `#!/usr/bin/env node
'use strict';
require('./chunks/start.cjs');
`;
const require = createRequire(import.meta.url);
/** A name that no source has: one of a function's own would stand before this one there, and hide it. */
const CHUNK_URL = '__urlOfThisChunk';

/**
 * Builds the program into `dist`: a main file of a few lines, and chunks beside it, loaded as a command needs them. The chunks are
 * CommonJS, which Node loads faster than the same files as modules of its newer kind. They stand one folder deep, as the
 * sources do, so that the paths to the package's own files hold for both.
 */
async function build(): Promise<void> {
  rmSync(`${ROOT}dist`, { recursive: true, force: true });
  const bundle = await rolldown({
    input: { start: `${ROOT}src/start.ts` },
    cwd: ROOT,
    platform: 'node',
    external: staysOutside,
    treeshake: { moduleSideEffects: false },
    transform: { target: 'node20', define: { 'import.meta.url': CHUNK_URL } },
    logLevel: 'warn',
  });
  await bundle.write({
    dir: `${ROOT}dist/chunks`,
    format: 'cjs',
    banner: `const ${CHUNK_URL} = require('node:url').pathToFileURL(__filename).href;`,
    entryFileNames: 'start.cjs',
    chunkFileNames: '[name]-[hash].cjs',
  });
  await bundle.close();
  writeFileSync(`${ROOT}dist/main.js`, MAIN);
  chmodSync(`${ROOT}dist/main.js`, 0o755);
  // All of this folder is CommonJS, its main file too: Node then starts without its loader of the newer kind.
  writeFileSync(`${ROOT}dist/package.json`, '{ "type": "commonjs" }\n');
}

/** Packages stay packages, but for those that every command needs and those that come as modules of the newer kind only. */
function staysOutside(id: string): boolean {
  if (isBuiltin(id)) return true;
  if (/^[./]/.test(id) || id.startsWith(ROOT) || BUILT_IN.test(id)) return false;
  return !isModuleOnly(id);
}

function isModuleOnly(id: string): boolean {
  let file: string;
  try {
    file = require.resolve(id);
  } catch {
    return true;
  }
  if (!file.endsWith('.js')) return file.endsWith('.mjs');
  for (let folder = dirname(file); folder !== dirname(folder); folder = dirname(folder)) {
    const type = typeIn(join(folder, 'package.json'));
    if (type !== undefined) return type === 'module';
  }
  return false;
}

/** What a package file says of its files; undefined where there is none. */
function typeIn(path: string): string | undefined {
  try {
    const { type = 'commonjs' } = JSON.parse(readFileSync(path, 'utf8')) as { readonly type?: string };
    return type;
  } catch {
    return undefined;
  }
}

await build();
