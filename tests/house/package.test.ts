import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { satisfies } from 'semver';
import { describe, expect, test } from 'vitest';
import { ROOT } from './source-files.js';

interface Locked {
  readonly dev?: boolean;
  readonly hasInstallScript?: boolean;
  readonly resolved?: string;
  readonly integrity?: string;
  readonly engines?: { readonly node?: string };
}
interface Manifest {
  readonly license?: string;
  readonly licenses?: readonly { readonly type: string }[];
  readonly scripts?: Readonly<Record<string, string>>;
  readonly engines: { readonly node: string };
}

const manifestAt = (folder: string): Manifest => JSON.parse(readFileSync(join(ROOT, folder, 'package.json'), 'utf8'));
const lock = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')).packages as Record<string, Locked>;
const everything = Object.entries(lock).filter(([path]) => path !== '');
const forUsers = everything.filter(([, { dev }]) => dev !== true).map(([path]) => path);
/** Binaries of other systems are in the lock and not on this disk. */
const installed = forUsers.filter((path) => existsSync(join(ROOT, path, 'package.json')));

/** Licences that may stand beside MIT without a condition beyond naming them (SPDX identifiers). */
const ALLOWED = new Set([
  'MIT',
  'MIT-0',
  'ISC',
  '0BSD',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'BlueOak-1.0.0',
  'Zlib',
]);

/** Fonts: what is made with them is free of their licence, and it lets them come with any program (OFL 1.1, conditions 1, 2 and 5). */
const FONTS: Readonly<Record<string, string>> = { 'node_modules/@fontsource/source-sans-3': 'OFL-1.1' };

/** Packages that run something of their own while they are installed, with what for. Developers alone have them. */
const INSTALL_SCRIPTS: Readonly<Record<string, string>> = {
  'node_modules/esbuild': 'checks its binary, which comes from the registry as a package',
  'node_modules/tree-sitter-powershell':
    'would compile a binding that no test uses; the grammar as WebAssembly is in the package',
  'node_modules/fsevents': 'macOS only, optional: watches files for the test runner',
};

const OLDEST_NODE = '20.19.0';
/** Packages that name other Node lines than ours, with why they serve all the same. */
const OTHER_LINES: Readonly<Record<string, string>> = {
  'node_modules/ipp':
    'names Node below 4, from before that field was heeded; its encoder is plain JavaScript and is tested here',
};

function bytesBelow(folder: string): number {
  return readdirSync(folder, { withFileTypes: true })
    .map((entry) => {
      const path = join(folder, entry.name);
      // A package's own node_modules are packages of their own.
      if (entry.isDirectory()) return entry.name === 'node_modules' ? 0 : bytesBelow(path);
      return entry.isFile() ? statSync(path).size : 0;
    })
    .reduce((sum, bytes) => sum + bytes, 0);
}

describe('what a user installs', () => {
  test('has licences that are allowed', () => {
    const licenceOf = ({ license, licenses }: Manifest) =>
      license ?? licenses?.map(({ type }) => type).join(' OR ') ?? 'none';
    const wrong = installed
      .map((path) => ({ path, licence: licenceOf(manifestAt(path)) }))
      .filter(
        ({ path, licence }) =>
          FONTS[path] !== licence &&
          !licence
            .replaceAll(/[()]/g, '')
            .split(/ AND | OR /)
            .every((one) => ALLOWED.has(one)),
      );
    expect(installed.length).toBeGreaterThan(50);
    expect(wrong).toEqual([]);
  });

  test('runs nothing while it is installed', () => {
    expect(forUsers.filter((path) => lock[path]?.hasInstallScript === true)).toEqual([]);
    const own = Object.keys(manifestAt('.').scripts ?? {});
    expect(own.filter((name) => /^(pre|post)?install$/.test(name))).toEqual([]);
    // What builds in a checkout stays there: .ci/pack.mjs takes it out of the package.
    expect(manifestAt('.').scripts).toMatchObject({
      prepare: 'npm run build',
      prepack: 'npm run build && node .ci/pack.mjs before',
      postpack: 'node .ci/pack.mjs after',
    });
  });

  test('comes from a registry, never from a repository or a folder, each with its hash', () => {
    const odd = everything.filter(
      ([, { resolved, integrity }]) =>
        !(resolved ?? 'https://').startsWith('https://') || !integrity?.startsWith('sha512-'),
    );
    expect(odd.map(([path]) => path)).toEqual([]);
  });

  test('runs on the oldest Node line that is supported, or is known to', () => {
    expect(manifestAt('.').engines.node).toBe('>=20.19');
    const others = forUsers.filter((path) => !satisfies(OLDEST_NODE, lock[path]?.engines?.node ?? '*'));
    expect(others.filter((path) => OTHER_LINES[path] === undefined)).toEqual([]);
  });

  test('stays small: less than 90 MB on this system', () => {
    const bytes = installed.reduce((sum, path) => sum + bytesBelow(join(ROOT, path)), 0);
    expect(bytes / 1e6).toBeLessThan(90);
  });
});

describe('what developers install besides', () => {
  test('runs only scripts that are known and explained', () => {
    const scripted = everything.filter(([, { hasInstallScript }]) => hasInstallScript === true).map(([path]) => path);
    expect(scripted.filter((path) => INSTALL_SCRIPTS[path] === undefined)).toEqual([]);
  });
});
