import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { safeFileName, safeFileNames, snapshotFolderName } from '../../src/snapshot/file-names.js';

describe('file names made from printers’ names', () => {
  test.each([
    ['front-desk', 'front-desk'],
    ['192.0.2.21#2', '192.0.2.21-2'],
    ['ipp://192.0.2.21/ipp/print', 'ipp-192.0.2.21-ipp-print'],
    ['fe80::1%eth0', 'fe80-1-eth0'],
    ['../../etc/passwd', 'etc-passwd'],
    ['.hidden', 'hidden'],
    ['', 'unnamed'],
    ['...', 'unnamed'],
    ['\u001b[2J\u202egnp', '2J-gnp'],
    ['con', 'con-'],
    ['LPT1.json', 'LPT1-json-'],
    ['Drucker Büro', 'Drucker-Büro'],
  ])('%j becomes %j', (name, file) => {
    expect(safeFileName(name)).toBe(file);
  });

  test('never leaves its folder, whatever the name', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (name) => {
        const file = safeFileName(name);
        expect(file).toMatch(/^[\p{L}\p{N}_][\p{L}\p{N}._-]*$/u);
        expect(Buffer.byteLength(file)).toBeLessThanOrEqual(244);
      }),
    );
  });

  test('two printers never share a file, even where case does not count', () => {
    expect(safeFileNames(['a', 'A', 'a', 'b/c', 'b?c'])).toEqual(['a', 'A-2', 'a-3', 'b-c', 'b-c-2']);
  });

  test('the folder carries site and local time', () => {
    const at = '2026-07-01T23:30:00.000Z';
    expect(snapshotFolderName('Harbour annex', at)).toBe('outfeed-Harbour-annex-2026-07-01-2330');
    // Lisbon is one hour ahead of UTC in July (IANA time zone table).
    expect(snapshotFolderName('Harbour annex', at, 'Europe/Lisbon')).toBe('outfeed-Harbour-annex-2026-07-02-0030');
  });
});
