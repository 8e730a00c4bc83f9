import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { TestPageDocument } from '../../src/model/testpage.js';
import { describeWithPeers } from './peer.js';

const PROGRAMS = ['ippeveprinter', 'avahi-daemon', 'dbus-daemon', 'unshare', 'timeout', 'namespaces'];
const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

/** Print-Job to the reference printer of the IPP's own working group, which keeps what it was given to print. */
describeWithPeers('the test page on the IPP reference printer', PROGRAMS, () => {
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-page-ipp-'));
    const run = `"${process.execPath}" --import tsx "${here('../../src/main.ts')}" testpage localhost --via ipp --ipp-uri ipp://localhost:631/ipp/print --quiet --json --print`;
    const kept = (name: string) => `mv "${folder}/kept" "${folder}/${name}.kept" 2>/dev/null`;
    const errand = ['pdf', 'pwg-raster', 'text', 'postscript'].map(
      (format) =>
        `${run} --format ${format} --out "${folder}/${format}" --save "${folder}/${format}.evidence" > "${folder}/${format}.json"; ${kept(format)}`,
    );
    errand.unshift(`${run} --out "${folder}/chosen" > "${folder}/chosen.json"; ${kept('chosen')}`);
    writeFileSync(join(folder, 'errand.sh'), `cd "${here('../..')}"\n${errand.join('\n')}\nexit 0\n`);
    const namespace = ['--net', '--mount', '--pid', '--fork', '--kill-child', 'bash', here('ipp-namespace.sh'), folder];
    await promisify(execFile)('timeout', ['240', 'unshare', ...namespace, 'bash', join(folder, 'errand.sh')], {
      env: { ...process.env, FORMATS: 'text/plain,application/pdf,image/pwg-raster' },
    });
  }, 250_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const file = (name: string) => readFileSync(join(folder, name));
  const document = (name: string) => JSON.parse(file(`${name}.json`).toString()) as TestPageDocument;

  test('of what it says it takes, PDF is chosen', () => {
    expect(document('chosen')).toMatchObject({ format: 'application/pdf', formatFrom: 'printer' });
    expect(file('chosen.kept').equals(file('chosen'))).toBe(true);
  });

  test.each(['pdf', 'pwg-raster', 'text'])('%s: the job is watched to its end, and the very octets arrive', (name) => {
    expect(document(name).sent).toMatchObject({ taken: true, job: { state: 'completed' } });
    expect(file(`${name}.kept`).equals(file(name))).toBe(true);
  });

  test('the dots are of a kind and fineness that it says it takes', () => {
    const { attributes } = JSON.parse(file('pwg-raster.evidence').toString()).evidence.find(
      ({ what, source }: { what: string; source: string }) => source === 'ipp' && what === 'Get-Printer-Attributes',
    ).value;
    const listed = (name: string) => attributes[name].map(({ value }: { value: unknown }) => value);
    const { dots } = document('pwg-raster');
    expect(listed('pwg-raster-document-type-supported')).toContain(dots?.type);
    expect(listed('pwg-raster-document-resolution-supported')).toContainEqual({ ...dots?.dpi, units: 'dpi' });
  });

  test('a form that it does not take is refused in its own words', () => {
    expect(document('postscript').sent).toMatchObject({
      taken: false,
      because: expect.stringMatching(/^It did not take the page: client-error-[a-z-]+ \("Unsupported document-format/),
    });
  });
});
