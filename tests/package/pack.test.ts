import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Spec, Validation } from '@cyclonedx/cyclonedx-library';
import { beforeAll, describe, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

interface Packed {
  readonly size: number;
  readonly unpackedSize: number;
  readonly files: readonly { readonly path: string }[];
}

/** A slow disk and a busy machine: npm itself takes seconds to start. */
const PATIENCE_MS = 120_000;

describe('the package', () => {
  let packed: Packed;
  let paths: readonly string[];
  beforeAll(() => {
    const shell = process.platform === 'win32';
    const args = ['pack', '--dry-run', '--json', '--ignore-scripts'];
    const told = JSON.parse(execFileSync('npm', args, { cwd: ROOT, encoding: 'utf8', shell })) as readonly [Packed];
    packed = told[0];
    paths = packed.files.map(({ path }) => path);
  }, PATIENCE_MS);

  test('holds the program, its documents and nothing of its making', () => {
    expect(paths).toEqual(
      expect.arrayContaining([
        'LICENSE',
        'README.md',
        'dist/main.js',
        'config/outfeed.example.yaml',
        'shared/completion/_outfeed',
        'shared/docs/causes.md',
        'shared/man/outfeed.1',
        'shared/schemas/why-1.json',
      ]),
    );
    const wanted = /^(dist|config|shared)\/|^(LICENSE|README\.md|package\.json)$/;
    expect(paths.filter((path) => !wanted.test(path))).toEqual([]);
  });

  test('stays small: less than 1 MB to fetch, 5 MB on disk', () => {
    expect(packed.size).toBeLessThan(1_000_000);
    expect(packed.unpackedSize).toBeLessThan(5_000_000);
  });
});

/** CycloneDX 1.5, by the JSON schema that the maintainers of that standard publish with their library. */
describe('the bill of materials', () => {
  let text: string;
  beforeAll(() => {
    execFileSync(process.execPath, ['.ci/pack.mjs', 'bill'], { cwd: ROOT });
    text = readFileSync(`${ROOT}shared/bill-of-materials.json`, 'utf8');
  }, PATIENCE_MS);

  test('is a valid document', async () => {
    const validator = new Validation.JsonStrictValidator(Spec.Version.v1dot5);
    expect(await validator.validate(text)).toBeNull();
    expect(await validator.validate(text.replace('"bomFormat": "CycloneDX"', '"bomFormat": "other"'))).not.toBeNull();
  });

  test('names every package that a user may get, with version, hash and licence, and no other', () => {
    const { metadata, components } = JSON.parse(text);
    expect(metadata.component.name).toBe('outfeed');
    const lock = JSON.parse(readFileSync(`${ROOT}package-lock.json`, 'utf8')).packages;
    const locked = Object.entries<{ dev?: boolean; version: string }>(lock).filter(([path, { dev }]) => path && !dev);
    const wanted = locked.map(([path, { version }]) => `${path.replace(/^.*node_modules\//, '')}@${version}`);
    const named = components.map(({ name, version }: { name: string; version: string }) => `${name}@${version}`);
    expect([...new Set(named)].sort()).toEqual([...new Set(wanted)].sort());
    for (const { name, hashes, licenses } of components) {
      expect(hashes?.[0]?.alg, name).toBe('SHA-512');
      expect(licenses?.length, name).toBeGreaterThan(0);
    }
  });
});
