import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { isFree, writeArchive, writeSnapshot } from '../../src/snapshot/write.js';

const MAKER = { program: 'outfeed 0.0.0', madeAt: '2026-01-31T09:00:00.000Z' };

describe('writing a snapshot', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-write-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  test('half an archive is not left behind; what stands there already is left alone', async () => {
    const file = join(folder, 'annex.zip');
    async function* full() {
      yield Buffer.from('PK');
      throw Object.assign(new Error('no room'), { code: 'ENOSPC' });
    }
    await expect(writeArchive(file, full() as never)).rejects.toThrow(/cannot be written \(ENOSPC\)/);
    expect(await isFree(file)).toBe(true);
    writeFileSync(file, 'an earlier one');
    await expect(writeArchive(file, Buffer.from('PK'))).rejects.toThrow(/EEXIST/);
    expect(readFileSync(file, 'utf8')).toBe('an earlier one');
  });

  test('the manifest lists every file with its length and hash', async () => {
    const out = join(folder, 'new', 'deep');
    const files = [
      { path: 'site.json', content: '{"ü":1}\n' },
      { path: 'evidence/a.json', content: '' },
      // Octets that are no UTF-8 stay as they are.
      { path: 'visit.pdf', content: Uint8Array.from([0x25, 0xff, 0xfe, 0x00, 0x80]) },
    ];
    const manifest = await writeSnapshot(out, files, MAKER);
    expect(JSON.parse(readFileSync(join(out, 'manifest.json'), 'utf8'))).toEqual(manifest);
    expect(manifest).toMatchObject({ schema: 'outfeed.manifest/1', ...MAKER });
    for (const listed of manifest.files) {
      const bytes = readFileSync(join(out, listed.path));
      expect(bytes.length).toBe(listed.bytes);
      expect(createHash('sha256').update(bytes).digest('hex')).toBe(listed.sha256);
    }
    expect(manifest.files.map((file) => file.path)).toEqual(['site.json', 'evidence/a.json', 'visit.pdf']);
    expect([...readFileSync(join(out, 'visit.pdf'))]).toEqual([0x25, 0xff, 0xfe, 0x00, 0x80]);
    // SHA-256 of nothing, FIPS 180-4 example values (NIST).
    expect(manifest.files[1]?.sha256).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
  });

  test.skipIf(process.platform !== 'linux')(
    'a folder that no system lets anybody make is refused at once',
    async () => {
      await expect(writeSnapshot('/proc/outfeed/snapshot', [], MAKER)).rejects.toThrow(
        '/proc/outfeed/snapshot cannot be written (ENOENT); give another place with --out.',
      );
    },
  );

  test('an empty folder is taken, one that holds anything is left alone', async () => {
    expect(await isFree(folder)).toBe(true);
    await writeSnapshot(folder, [], MAKER);
    expect(await isFree(folder)).toBe(false);
    await expect(writeSnapshot(folder, [], MAKER)).rejects.toThrow(/not an empty folder; give another with --out/);
  });

  test('a file in the way, or a place where nothing can be written, is one sentence', async () => {
    const file = join(folder, 'file');
    writeFileSync(file, 'x');
    await expect(writeSnapshot(file, [], MAKER)).rejects.toThrow(/not an empty folder/);
    await expect(writeSnapshot(join(file, 'below'), [], MAKER)).rejects.toMatchObject({
      name: 'ProgramProblem',
      exitCode: 2,
    });
  });
});
