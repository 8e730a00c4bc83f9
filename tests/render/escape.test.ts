import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { forCsv, forHtml, forLog, forTerminal, shortened } from '../../src/render/escape.js';

// Control characters: ISO/IEC 6429 (C0, C1). Direction controls: Unicode Standard Annex 9, section 2.
const ACTING = /[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/;

describe('text from strangers on a terminal', () => {
  test('spells out what would act', () => {
    expect(forTerminal('\u001b[2Jgone')).toBe('\\x1b[2Jgone');
    expect(forTerminal('a\u009b31mred')).toBe('a\\x9b31mred');
    expect(forTerminal('bill\u202etxt.exe')).toBe('bill\\u202etxt.exe');
    expect(forTerminal('one\ntwo\tthree\r')).toBe('one\\ntwo\\tthree\\r');
    expect(forTerminal('zero\u200bwidth \u2066isolate')).toBe('zero\\u200bwidth \\u2066isolate');
    expect(forTerminal('tag \u{e0041}')).toBe('tag \\u{e0041}');
    expect(forTerminal('half \ud800')).toBe('half \\ud800');
  });

  test('leaves ordinary text of any script alone', () => {
    for (const text of ['Präzision', '用紙がありません', 'Лоток 2', 'درج', '🖨 fertig'])
      expect(forTerminal(text)).toBe(text);
  });

  test('cuts by characters, never through one', () => {
    expect(shortened('🖨🖨🖨🖨', 3)).toBe('🖨🖨…');
    expect(Array.from(forTerminal('x'.repeat(10_000)))).toHaveLength(400);
    expect(Array.from(forTerminal('\u001b'.repeat(10_000), 50)).length).toBeLessThanOrEqual(50);
  });

  test('never lets an acting character through, whatever comes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(forTerminal(text)).not.toMatch(ACTING);
        expect(forLog(text)).not.toMatch(ACTING);
        expect(forHtml(text)).not.toMatch(/[<>"'`]/);
      }),
    );
  });
});

describe('HTML and CSV', () => {
  test('markup is text', () => {
    expect(forHtml('<img src=x onerror="a(\'b\')">&')).toBe(
      '&lt;img src=x onerror=&quot;a(&#39;b&#39;)&quot;&gt;&amp;',
    );
  });

  test('a cell is no formula', () => {
    expect(forCsv('=1+1')).toBe('"\'=1+1"');
    expect(forCsv('@cmd')).toBe('"\'@cmd"');
    expect(forCsv('-5')).toBe('"\'-5"');
    expect(forCsv('\t=1')).toBe('"\'\\t=1"');
    expect(forCsv(-3)).toBe('-3');
    expect(forCsv(null)).toBe('');
  });

  test('quotes as RFC 4180 section 2 says', () => {
    expect(forCsv('a,b')).toBe('"a,b"');
    expect(forCsv('say "x"')).toBe('"say ""x"""');
    expect(forCsv('plain')).toBe('plain');
  });
});
