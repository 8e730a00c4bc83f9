import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strToU8, zipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Manifest } from '../../src/model/snapshot.js';
import { manifestOf } from '../../src/snapshot/manifest.js';
import { outfeed } from '../commands/captured-io.js';
import { sampleSite } from '../render/site-samples.js';

/** Snapshots that nobody's honest program wrote, refused with one sentence, at once and without filling memory or disk. */
describe('a forged snapshot', () => {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-forged-'));
  const site = JSON.stringify(sampleSite());
  const MAKER = { program: 'outfeed 0.0.0', madeAt: '2026-01-31T09:00:00.000Z' };
  const manifest = manifestOf([{ path: 'site.json', content: site }], MAKER);

  beforeAll(() => {
    mkdirSync(join(folder, 'good'));
    writeFileSync(join(folder, 'good', 'site.json'), site);
    writeFileSync(join(folder, 'good', 'manifest.json'), JSON.stringify(manifest));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  async function refused(name: string): Promise<string> {
    const { code, out, err } = await outfeed(['compare', name, 'good'], { cwd: folder });
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err.trim().split('\n')).toHaveLength(1);
    return err;
  }
  function zip(name: string, files: Readonly<Record<string, string | Uint8Array>>): string {
    const entries = Object.entries(files).map(([path, content]) => [
      path,
      typeof content === 'string' ? strToU8(content) : content,
    ]);
    writeFileSync(join(folder, name), zipSync(Object.fromEntries(entries), { level: 9 }));
    return name;
  }
  function variant(name: string, change: (manifest: Manifest) => unknown): string {
    cpSync(join(folder, 'good'), join(folder, name), { recursive: true });
    writeFileSync(join(folder, name, 'manifest.json'), JSON.stringify(change(manifest)));
    return name;
  }
  const listing = (name: string, ...more: Partial<Manifest['files'][number]>[]) =>
    variant(name, (one) => ({
      ...one,
      files: [...one.files, ...more.map((file) => ({ path: 'x', bytes: 1, sha256: '0'.repeat(64), ...file }))],
    }));

  test('the honest one is taken, as a folder and as an archive', async () => {
    zip('good.zip', { 'a/site.json': site, 'a/manifest.json': JSON.stringify(manifest) });
    const { code, err } = await outfeed(['compare', 'good', 'good.zip'], { cwd: folder });
    expect({ code, err }).toEqual({ code: 1, err: '' });
  });

  test.each(['../../etc/passwd', '/etc/passwd', 'C:\\Windows\\win.ini', '..\\up.txt', 'evidence/../../x'])(
    'a path that leads outside: %s',
    async (path) => {
      expect(await refused(listing(`path-${createHash('sha1').update(path).digest('hex')}`, { path }))).toMatch(
        /it lies outside of the snapshot\.$/m,
      );
    },
  );

  test('a path that leads outside, in the archive itself', async () => {
    zip('slip.zip', { '../../slip.txt': 'x', 'a/site.json': site, 'a/manifest.json': JSON.stringify(manifest) });
    expect(await refused('slip.zip')).toMatch(/\.\.\/\.\.\/slip\.txt: it lies outside of the snapshot/);
  });

  test('names that come twice: in the list, and in the archive', async () => {
    expect(await refused(listing('twice', { path: 'SITE.json' }))).toMatch(/SITE\.json: its manifest lists it twice/);
    zip('twice.zip', { 'a/site.json': site, 'a/site.jsom': site, 'a/manifest.json': JSON.stringify(manifest) });
    const octets = readFileSync(join(folder, 'twice.zip')).toString('latin1').replaceAll('site.jsom', 'site.json');
    writeFileSync(join(folder, 'twice.zip'), Buffer.from(octets, 'latin1'));
    expect(await refused('twice.zip')).toMatch(/a\/site\.json: the archive holds it twice/);
    zip('two.zip', { 'a/manifest.json': '{}', 'b/manifest.json': '{}' });
    expect(await refused('two.zip')).toMatch(/manifest\.json: the archive holds more than one/);
  });

  test('an archive that unpacks to a thousand times its size is left as soon as it has more than was listed', async () => {
    const bomb = new Uint8Array(200 * 1024 * 1024);
    zip('bomb.zip', { 'a/site.json': bomb, 'a/manifest.json': JSON.stringify(manifest) });
    const before = process.memoryUsage().rss;
    expect(await refused('bomb.zip')).toMatch(/site\.json: it has more bytes where \d+ were written/);
    expect(process.memoryUsage().rss - before).toBeLessThan(150 * 1024 * 1024);
    zip('list.zip', { 'a/manifest.json': bomb.subarray(0, 20 * 1024 * 1024) });
    expect(await refused('list.zip')).toMatch(/manifest\.json: it is larger than any list of files/);
  });

  test('an archive that lies about the length of what is in it', async () => {
    zip('lie.zip', { 'a/site.json': new Uint8Array(5_000_000), 'a/manifest.json': JSON.stringify(manifest) });
    const octets = readFileSync(join(folder, 'lie.zip'));
    const size = Buffer.alloc(4);
    size.writeUInt32LE(5_000_000);
    const small = Buffer.alloc(4);
    small.writeUInt32LE(Buffer.byteLength(site));
    for (let at = octets.indexOf(size); at >= 0; at = octets.indexOf(size, at + 1)) small.copy(octets, at);
    writeFileSync(join(folder, 'lie.zip'), octets);
    expect(await refused('lie.zip')).toMatch(/site\.json: it can't be read to its end/);
  });

  test('a document of a gigabyte is refused by what is listed, and by what lies there', async () => {
    const huge = (one: Manifest) => ({ ...one, files: [{ ...one.files[0], bytes: 1024 ** 3 }] });
    expect(await refused(variant('huge', huge))).toMatch(
      /site\.json: it makes the snapshot larger than any \(1024 MiB\)/,
    );
    variant('grown', (one) => one);
    truncateSync(join(folder, 'grown', 'site.json'), 1024 ** 3);
    expect(await refused('grown')).toMatch(/site\.json: it has more bytes where \d+ were written/);
  });

  test.skipIf(process.platform === 'win32')('a pipe is not waited for, a link is not followed', async () => {
    variant('pipe', (one) => one);
    rmSync(join(folder, 'pipe', 'site.json'));
    execFileSync('mkfifo', [join(folder, 'pipe', 'site.json')]);
    expect(await refused('pipe')).toMatch(/site\.json: it is no plain file/);
    variant('link', (one) => one);
    rmSync(join(folder, 'link', 'site.json'));
    symlinkSync('/dev/zero', join(folder, 'link', 'site.json'));
    expect(await refused('link')).toMatch(/site\.json: it is no plain file/);
  });

  test('names of the language’s own and escapes for the terminal are names like others', async () => {
    expect(await refused(listing('proto', { path: '__proto__' }))).toMatch(/__proto__: it is missing/);
    expect(await refused(listing('escape', { path: '\u001b[31mred' }))).toMatch(/\\x1b\[31mred: it is missing/);
    writeFileSync(join(folder, 'good', 'x'), '');
    rmSync(join(folder, 'good', 'x'));
  });
});
