import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { sniff } from '../../src/wire/job/sniff.js';
import { describeWithPeers, findProgram } from './peer.js';

/** First octets, the language they are taken for here, and what file(1) must call them. */
const SAMPLES: readonly (readonly [octets: string, language: string, says: RegExp])[] = [
  ['%PDF-1.4\n', 'pdf', /^application\/pdf/],
  ['%!PS\n', 'postscript', /^application\/postscript/],
  ['\u001bE\u001b&l0O', 'pcl5', /PCL printer data/],
  ['\u001b%-12345X@PJL\r\n@PJL ENTER LANGUAGE=PCL\r\n\u001bE', 'pcl5', /Printer Job Language/],
  ['RaS2PwgRaster\0', 'pwg-raster', /Raster version 2, Big Endian/],
  ['II*\0\b\0\0\0', 'tiff', /^image\/tiff/],
  ['\u00ff\u00d8\u00ff\u00e0\0\u0010JFIF\0', 'jpeg', /^image\/jpeg/],
  ['\u0089PNG\r\n\u001a\n\0\0\0\rIHDR\0\0\0\u0001\0\0\0\u0001\b\0\0\0\0', 'png', /^image\/png/],
  ['GIF89a\u0001\0\u0001\0', 'gif', /^image\/gif/],
  ['\u001f\u008b\b\0\0\0\0\0\0\u0003', 'packed', /^application\/gzip/],
  ['{\\rtf1 hi}', 'rtf', /^text\/rtf/],
  ['<!DOCTYPE html><html>', 'html', /^text\/html/],
  ['Good morning\n', 'text', /^text\/plain/],
  ['', 'empty', /x-empty/],
];

describeWithPeers('Debian’s signature database', ['file'], () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-file-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test.each(SAMPLES)('%j', (octets, language, says) => {
    const bytes = Buffer.from(octets, 'latin1');
    const path = join(folder, 'job');
    writeFileSync(path, bytes);
    const program = findProgram('file') ?? 'file';
    const words = ['--mime-type', '--'].map((option) =>
      execFileSync(program, ['-b', option, path], { encoding: 'utf8' }).trim(),
    );
    expect(
      words.some((word) => says.test(word)),
      words.join(' | '),
    ).toBe(true);
    expect(sniff(bytes).language).toBe(language);
  });
});
