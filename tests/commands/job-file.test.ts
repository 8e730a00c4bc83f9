import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { EvidenceBundle, WhyDocument } from '../../src/model/why.js';
import { bundleOf, HEALTHY, snmpPrinter } from '../ladder/bundle.js';
import { interpreters } from '../ladder/sites-language.js';
import { findProgram } from '../peers/peer.js';
import { outfeed } from './captured-io.js';

let folder: string;
const file = (name: string): string => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-job-'));
  // A printer that lists PostScript (PrtInterpreterLangFamilyTC 6) and nothing else.
  const site = { ...HEALTHY, snmp: { ...snmpPrinter({}), ...interpreters(6) } };
  writeFileSync(file('printer.json'), JSON.stringify(bundleOf(site)));
  writeFileSync(file('well.ps'), '%!PS-Adobe-3.0\nshowpage\n');
  writeFileSync(file('other.pcl'), Buffer.from(`\u001bE\u001b&l0O${'SECRET '.repeat(50_000)}`, 'latin1'));
  writeFileSync(file('nothing.prn'), '');
  mkdirSync(file('folder'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const why = (...argv: string[]) => outfeed(['why', '--from', 'printer.json', ...argv], { cwd: folder });

describe('a job file', () => {
  test('in the printer’s language clears the layer', async () => {
    const { code, out, err } = await why('--file', 'well.ps', '--json');
    const document = JSON.parse(out) as WhyDocument;
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(document.layers.find((l) => l.layer === 'language')).toMatchObject({ state: 'clear' });
  });

  test('in another language is the verdict, in words', async () => {
    const { code, out } = await why('--file', 'other.pcl');
    expect(code).toBe(1);
    expect(out).toContain('PCL 5');
    expect(out).toContain('PostScript');
  });

  test('without an octet has nothing to print', async () => {
    const { code, out } = await why('--file', 'nothing.prn', '--json');
    expect(code).toBe(1);
    expect(JSON.parse(out)).toMatchObject({ verdict: { layer: 'language', cause: 'job-empty', certainty: 'sure' } });
  });

  test('is kept by name, size and language, never by content, and judged again alike', async () => {
    const first = await why('--file', 'other.pcl', '--save', 'kept.json', '--json');
    const text = readFileSync(file('kept.json'), 'utf8');
    const record = (JSON.parse(text) as EvidenceBundle).evidence.find((e) => e.what === 'job-file');
    expect(record).toMatchObject({ source: 'history', about: 'self', subject: 'other.pcl' });
    expect(record?.value).toMatchObject({ name: 'other.pcl', bytes: 350_007, sniffed: { language: 'pcl5' } });
    expect(text).not.toContain('SECRET');
    const again = await outfeed(['why', '--from', 'kept.json', '--json'], { cwd: folder });
    expect(JSON.parse(again.out)).toMatchObject({ verdict: (JSON.parse(first.out) as WhyDocument).verdict });
    const replaced = await outfeed(['why', '--from', 'kept.json', '--file', 'well.ps', '--json'], { cwd: folder });
    const records = (JSON.parse(replaced.out) as WhyDocument).evidence.filter((e) => e.what === 'job-file');
    expect(records.map((e) => e.subject)).toEqual(['well.ps']);
  });

  test.each([
    ['absent.ps', 'there is no such file'],
    ['folder', 'it is a folder'],
  ])('that can not be read is one sentence: %s', async (name, reason) => {
    const { code, out, err } = await why('--file', name);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(reason);
    expect(err.trim().split('\n')).toHaveLength(1);
  });

  test.skipIf(findProgram('mkfifo') === null)('that is a pipe is not waited for', async () => {
    execFileSync('mkfifo', [file('pipe')]);
    const { code, err } = await why('--file', 'pipe');
    expect(code).toBe(2);
    expect(err).toContain('it is a pipe, not a file');
  });
});
