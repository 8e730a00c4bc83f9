import iconv from 'iconv-lite';
import { describe, expect, test } from 'vitest';
import { cleanText } from '../../../src/facts/printer/clean-text.js';
import { characterSetName, decodeOctets } from '../../../src/facts/printer/text.js';
import { CHARACTER_SETS } from '../../../src/registry/enums.generated.js';

const made = (text: string, set: string): Buffer => iconv.encode(text, set);

describe('octets to text', () => {
  test.each<[string, Buffer, string | null, string]>([
    ['plain ASCII under any name', Buffer.from('Tray 1'), 'UTF-16BE', 'Tray 1'],
    ['UTF-8 though Latin-1 is named', Buffer.from('Gerät für Öl'), 'ISO-8859-1', 'Gerät für Öl'],
    ['Latin-1 though UTF-8 is named', made('Gerät für Öl', 'latin1'), 'UTF-8', 'Gerät für Öl'],
    ['Latin-1 without a name', made('Einzug für Umschläge', 'latin1'), null, 'Einzug für Umschläge'],
    ['Latin-1 though Shift_JIS is named', Buffer.from('Caf\xe9', 'latin1'), 'Shift_JIS', 'Café'],
    ['Shift_JIS by its name', made('トナー', 'Shift_JIS'), 'Shift_JIS', 'トナー'],
    ['half-width Shift_JIS by its name', made('ﾄﾅｰ', 'Shift_JIS'), 'Windows-31J', 'ﾄﾅｰ'],
    ['Shift_JIS though Latin-1 is named', made('ブラックトナー', 'Shift_JIS'), 'ISO-8859-1', 'ブラックトナー'],
    ['Shift_JIS though US-ASCII is named', made('用紙トレイ 1', 'Shift_JIS'), 'US-ASCII', '用紙トレイ 1'],
    ['UTF-8 though Shift_JIS is named', Buffer.from('トナー'), 'Shift_JIS', 'トナー'],
    ['UTF-16 big end first by its name', made('トナー', 'UTF-16BE'), 'UTF-16BE', 'トナー'],
    ['UTF-16 by its mark', Buffer.from([0xfe, 0xff, 0x30, 0xc8]), null, 'ト'],
    ['UTF-16 little end first by its mark', Buffer.from([0xff, 0xfe, 0xc8, 0x30]), null, 'ト'],
    ['UTF-16 by its zeros', made('Tray 1', 'UTF-16BE'), 'ISO-8859-1', 'Tray 1'],
    ['UTF-16 little end first by its zeros', made('Tray 1', 'UTF-16LE'), null, 'Tray 1'],
    ['ISO-8859-2 by its name', made('Zásobník', 'ISO-8859-2'), 'ISO-8859-2', 'Zásobník'],
    ['a name that the library lacks', made('é', 'latin1'), 'X-NOBODY', 'é'],
    ['UTF-8 cut in its last character', Buffer.from('トナー').subarray(0, 8), 'UTF-8', 'トナ'],
    ['Shift_JIS cut in its last character', made('レディー', 'Shift_JIS').subarray(0, 7), 'Shift_JIS', 'レディ'],
    [
      'Shift_JIS cut, though Latin-1 is named',
      made('トナー交換', 'Shift_JIS').subarray(0, 9),
      'ISO-8859-1',
      'トナー交',
    ],
    ['trailing NULs', Buffer.from('Black\0\0\0'), null, 'Black'],
    ['only NULs', Buffer.from('\0\0\0'), null, ''],
    ['nothing', Buffer.alloc(0), null, ''],
    ['C1 codes that look like nothing', Buffer.from([0x41, 0x9b, 0x42]), null, 'AB'],
    ['UTF-8 cut in the middle', Buffer.from('Gerät').subarray(0, 4), null, 'GerÃ'],
  ])('%s', (_, octets, named, text) => {
    expect(decodeOctets(octets, named)).toBe(text);
  });

  test('every character set of the registry can be decoded', () => {
    for (const name of Object.values(CHARACTER_SETS))
      expect(typeof decodeOctets(Buffer.from([0x41, 0xe4, 0xb0]), name), name).toBe('string');
  });

  test('IANACharset numbers', () => {
    // IANA character-sets registry, from memory.
    expect(characterSetName(106)).toBe('UTF-8');
    expect(characterSetName(17)).toBe('Shift_JIS');
    expect(characterSetName(99_999)).toBeNull();
    expect(characterSetName(null)).toBeNull();
  });
});

describe('clean text', () => {
  test.each([
    ['\u0007Paper\u001b[31m jam\r\n', 'Paper[31m jam'],
    ['two\r\nlines\tand a tab', 'two lines and a tab'],
    ['turned \u202eround\u202c', 'turned round'],
    ['\ufeffmark', 'mark'],
    ['half \ud83d pair', 'half \ufffd pair'],
    ['whole 🖨 pair', 'whole 🖨 pair'],
    ['a\u2028b', 'a b'],
  ])('%j', (given, cleaned) => {
    expect(cleanText(given)).toBe(cleaned);
  });
});
