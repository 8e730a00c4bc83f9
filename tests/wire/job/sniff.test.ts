import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ENUMS } from '../../../src/registry/enums.generated.js';
import { type JobLanguage, LANGUAGES, languageOfWord, namesOf } from '../../../src/wire/job/languages.js';
import { MOST_JOB_OCTETS, readSniffed, sniff } from '../../../src/wire/job/sniff.js';

const of = (octets: string) => sniff(Buffer.from(octets, 'latin1'));
const hex = (octets: string): string => Buffer.from(octets.replace(/\s/g, ''), 'hex').toString('latin1');
const UEL = '\u001b%-12345X';

/** Signatures: ISO 32000-2 7.5.2, signature database of file(1), PWG 5102.4, ISO/IEC 10918-1 and 15948, RFC 1952; others from memory. */
const SAMPLES: readonly (readonly [JobLanguage, string, string])[] = [
  ['pdf', 'PDF', `${hex('25 50 44 46 2D')}1.7\n%\u00e2\u00e3\n`],
  ['pdf', 'PDF after some lines', `X-Header: 1\n%PDF-1.4\n${'\u0001'.repeat(40)}`],
  ['pclm', 'PCLm', '%PDF-1.7\n%PCLm 1.0\n'],
  ['postscript', 'PostScript', `${hex('25 21')}PS-Adobe-3.0\n`],
  ['postscript', 'PostScript after Ctrl-D', '\u0004%!PS\nshowpage\n'],
  ['postscript', 'PostScript in a binary shell', `${hex('C5 D0 D3 C6')}\u001e\0\0\0`],
  ['pcl5', 'PCL reset', `${hex('1B 45')}\u001b&l0O`],
  ['pcl5', 'PCL without a reset', '\u001b&l26A\u001b(s0p10H'],
  ['pcl5', 'PCL inside text', 'Report\r\n\u001b&l1Omore\r\n'],
  ['pclxl', 'PCL XL, little-endian', ') HP-PCL XL;3;0;Comment\n\u00d1X'],
  ['pclxl', 'PCL XL, text', "' HP-PCL XL;2;0\n"],
  ['hpgl', 'plotter mode of PCL', '\u001bE\u001b%0BIN;SP1;'],
  ['hpgl', 'plotter commands', 'IN;SP1;PU100,100;'],
  ['pwg-raster', 'PWG raster', `${hex('52 61 53 32')}PwgRaster\0`],
  ['spooler-raster', 'spooler raster 2', 'RaS2\0\0\0\0'],
  ['spooler-raster', 'spooler raster 1, other order', 'tSaR\0\0\0\0'],
  ['spooler-raster', 'spooler raster 3', 'RaS3'],
  ['urf', 'URF', `${hex('55 4E 49 52 41 53 54 00')}\0\0\0\u0001`],
  ['escp', 'ESC/P', `${hex('1B 40')}\u001b3\u0018`],
  ['escp', 'ESC/P from packet mode', '\0\0\0\u001b\u0001@EJL 1284.4\n@EJL     \n\u001b@'],
  ['zpl', 'label', '^XA^FO20,20^FDhello^FS^XZ'],
  ['zpl', 'label after settings', 'CT~~CD,~CC^~CT~\n^XA~TA000^XZ'],
  ['epl', 'label of the other kind', '\nN\nq609\nA20,20,0,4,1,1,N,"hello"\nP1\n'],
  ['tiff', 'TIFF, little-endian', `${hex('49 49 2A 00')}\b\0\0\0`],
  ['tiff', 'TIFF, big-endian', `${hex('4D 4D 00 2A')}\0\0\0\b`],
  ['jpeg', 'JPEG', hex('FF D8 FF E0')],
  ['png', 'PNG', hex('89 50 4E 47 0D 0A 1A 0A')],
  ['gif', 'GIF', 'GIF89a'],
  ['packed', 'gzip', hex('1F 8B 08 00')],
  ['packed', 'a ZIP of anything', `${hex('50 4B 03 04')}\u0014\0\0\0\b\0aaaabbbbccccddddeeee\u0005\0\0\0a.txthello`],
  ['office', 'text document', `${hex('50 4B 03 04')}${'\0'.repeat(26)}[Content_Types].xml`],
  ['office', 'open document', `${hex('50 4B 03 04')}${'\0'.repeat(26)}mimetypeapplication/vnd.oasis.opendocument.text`],
  ['office', 'compound document', hex('D0 CF 11 E0 A1 B1 1A E1')],
  ['xps', 'XPS', `${hex('50 4B 03 04')}${'\0'.repeat(26)}[Content_Types].xml FixedDocSeq.fdseq`],
  ['rtf', 'RTF', '{\\rtf1\\ansi Hello}'],
  ['html', 'web page', '<!DOCTYPE html>\n<html lang="en">'],
  ['metafile', 'metafile', `${hex('01 00 00 00')}${'\u0010'.repeat(36)} EMF${'\0'.repeat(20)}`],
  ['prescribe', 'Prescribe', '!R! FONT 5; EXIT;'],
  ['text', 'plain text', 'Good morning,\r\nthe pier opens at nine.\r\n\f'],
  ['text', 'plain text in Latin-1', 'Gr\u00fc\u00dfe aus dem Hafen\n'],
  ['empty', 'nothing', ''],
  ['unknown', 'noise', '\u0001\u0002\u0003\u0000\u0000\u00fe'],
];

describe('the first octets give the language away', () => {
  test.each(SAMPLES)('%s: %s', (language, _name, octets) => {
    const found = of(octets);
    expect(found.language).toBe(language);
    expect(found.wrapper).toBeUndefined();
    expect(found.labels).toEqual(namesOf(language).labels);
  });

  test.each(SAMPLES.filter(([language]) => !['empty', 'unknown', 'text'].includes(language)))(
    '%s in a PJL wrapper without ENTER: %s',
    (language, _name, octets) => {
      const found = of(`${UEL}@PJL\r\n@PJL SET COPIES=2\r\n${octets}`);
      expect(found).toMatchObject({ language, wrapper: 'pjl' });
    },
  );
});

describe('a PJL wrapper', () => {
  test.each([
    ['POSTSCRIPT', 'postscript', '%!PS\n'],
    ['PCL', 'pcl5', '\u001bE'],
    ['PCLXL', 'pclxl', ') HP-PCL XL;3;0;'],
    ['PDF', 'pdf', '%PDF-1.7\n'],
  ] as const)('ENTER LANGUAGE=%s', (enters, language, inside) => {
    for (const line of [`@PJL ENTER LANGUAGE=${enters}`, `@PJL ENTER LANGUAGE = "${enters.toLowerCase()}"`]) {
      const found = of(`${UEL}@PJL JOB NAME="x"\r\n@PJL SET RESOLUTION=600\r\n${line}\r\n${inside}`);
      expect(found).toMatchObject({ language, wrapper: 'pjl', confidence: 'sure', dpi: 600 });
      expect(found.enters?.toUpperCase()).toBe(enters);
      expect(found.contradicts).toBeUndefined();
    }
  });

  test('its word counts where the job itself says nothing', () => {
    expect(of(`${UEL}@PJL ENTER LANGUAGE=PCL\nHello\n`)).toMatchObject({ language: 'pcl5', confidence: 'likely' });
    expect(of(`${UEL}@PJL ENTER LANGUAGE=WRENRASTER\n\u0001\u0002\0`)).toMatchObject({
      language: 'unknown',
      enters: 'WRENRASTER',
    });
  });

  test('a job in another language than its wrapper says contradicts it', () => {
    expect(of(`${UEL}@PJL ENTER LANGUAGE=PCL\n%!PS\n`)).toMatchObject({ language: 'postscript', contradicts: 'pcl5' });
    expect(of(`${UEL}@PJL ENTER LANGUAGE=PCL\n\u001bE\u001b%0BIN;`).contradicts).toBeUndefined();
  });

  test('only a wrapper, or one without end', () => {
    expect(of(`${UEL}@PJL INFO STATUS\r\n${UEL}`)).toMatchObject({ language: 'unknown', wrapper: 'pjl' });
    expect(of(`${UEL}${'@PJL COMMENT x\n'.repeat(4000)}`)).toMatchObject({ language: 'unknown', wrapper: 'pjl' });
    expect(of(UEL.repeat(5000)).wrapper).toBe('pjl');
  });
});

describe('a PWG raster page', () => {
  /** Page header of 1796 octets (PWG 5102.4): resolution at 276, height at 376, octets of a line at 392. */
  function header(dpi: number, lines: number, bytesPerLine: number): Buffer {
    const octets = Buffer.alloc(4 + 1796);
    octets.write('RaS2PwgRaster\0', 'latin1');
    octets.writeUInt32BE(dpi, 4 + 276);
    octets.writeUInt32BE(lines, 4 + 376);
    octets.writeUInt32BE(bytesPerLine, 4 + 392);
    return octets;
  }

  test('states its size', () => {
    expect(sniff(header(600, 7016, 14_883)).page).toEqual({ dpi: 600, lines: 7016, bytesPerLine: 14_883 });
  });

  test('states none when it is cut or nonsense', () => {
    expect(sniff(header(600, 7016, 14_883).subarray(0, 300)).page).toBeUndefined();
    expect(sniff(header(0, 0, 0)).page).toBeUndefined();
    expect(sniff(header(600, 0xffffffff, 14_883)).page).toBeUndefined();
  });
});

describe('any octets', () => {
  const piece = fc.oneof(
    fc.constantFrom(
      UEL,
      '@PJL ',
      'ENTER LANGUAGE=',
      'PCL',
      '\n',
      '%!',
      '%PDF-',
      '\u001bE',
      'PK\u0003\u0004',
      '^XA',
      'RaS2',
    ),
    fc.string({ unit: 'binary', maxLength: 20 }),
  );
  const jobs = fc.oneof(
    fc.uint8Array({ maxLength: 400 }),
    fc.array(piece, { maxLength: 30 }).map((p) => new Uint8Array(Buffer.from(p.join(''), 'latin1'))),
  );

  test('never throw; the reading survives being kept', () => {
    fc.assert(
      fc.property(jobs, (job) => {
        const found = sniff(job);
        expect(Object.keys(LANGUAGES)).toContain(found.language);
        expect((found.enters ?? '').length).toBeLessThanOrEqual(40);
        expect(readSniffed(JSON.parse(JSON.stringify(found)))).toEqual(found);
      }),
      { numRuns: 2000 },
    );
  });

  test('only the first 64 KiB count', () => {
    const long = Buffer.alloc(MOST_JOB_OCTETS * 3, 'text\n');
    long.write('\u001b&l0O', MOST_JOB_OCTETS + 10, 'latin1');
    expect(sniff(long).language).toBe('text');
  });

  test('a kept reading that is none is refused', () => {
    fc.assert(
      fc.property(fc.anything(), (value) => {
        readSniffed(value);
      }),
    );
    for (const value of [null, 'pdf', {}, { language: 'wrenish' }, { language: '__proto__' }]) {
      expect(readSniffed(value)).toBeUndefined();
    }
  });
});

describe('names', () => {
  const registered = new Set<string>(Object.values(ENUMS.PrtInterpreterLangFamilyTC ?? {}));

  test('every label is one that IANA-PRINTER-MIB registers', () => {
    for (const id of Object.keys(LANGUAGES) as JobLanguage[]) {
      for (const label of [...namesOf(id).labels, ...(namesOf(id).near ?? [])]) expect(registered).toContain(label);
    }
  });

  test.each([
    ['PostScript', 'postscript'],
    ['PCL5e', 'pcl5'],
    ['PCL XL', 'pclxl'],
    ['PWG Raster', 'pwg-raster'],
    ['ESCPL2', 'escp'],
    ['URF', 'urf'],
    ['WREN', undefined],
  ])('%s in a command set', (word, language) => {
    expect(languageOfWord(word)).toBe(language);
  });
});
