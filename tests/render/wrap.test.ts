import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { pad, wrap } from '../../src/render/wrap.js';

describe('wrapping for a terminal', () => {
  test('breaks at spaces and hangs later lines', () => {
    expect(wrap('one two three four', { columns: 12, first: '- ', rest: '  ' })).toEqual(['- one two', '  three four']);
  });

  test('cuts a word that is wider than a line', () => {
    expect(wrap('ab cdefghijkl', { columns: 6, first: '', rest: '' })).toEqual(['ab', 'cdefgh', 'ijkl']);
  });

  test('wide characters count two cells', () => {
    expect(wrap('印刷機印刷機', { columns: 5, first: '', rest: '' })).toEqual(['印刷', '機印', '刷機']);
    expect(pad('紙', 4)).toBe('紙  ');
  });

  test('an empty text is one line with the lead only', () => {
    expect(wrap('', { columns: 10, first: '>', rest: ' ' })).toEqual(['>']);
  });

  test('never wider than asked, nothing lost, for any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), fc.integer({ min: 8, max: 60 }), (text, columns) => {
        const lines = wrap(text, { columns, first: '* ', rest: '  ' });
        for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(columns);
        expect(lines.join('').slice(2).replace(/\s/gu, '')).toBe(text.replace(/\s/gu, ''));
      }),
    );
  });
});
