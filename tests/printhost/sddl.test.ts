import { describe, expect, test } from 'vitest';
import { readSddl, rightOf } from '../../src/printhost/sddl.js';
import { USUAL_SDDL } from './report-builder.js';

const MIRA = 'S-1-5-21-9-1001';
const STAFF = 'S-1-5-21-9-513';
const names = { [MIRA]: 'EXAMPLE\\mira', [STAFF]: 'EXAMPLE\\Staff' };
const ask = (sddl: string, groups: readonly string[] | null = null, user = 'mira') => {
  const aces = readSddl(sddl) ?? [];
  return (['print', 'manage documents', 'manage printer'] as const).map((right) =>
    rightOf(aces, right, { user, groups, names }),
  );
};

// Letters of rights: MS-DTYP 2.5.1.1; bits of printers and jobs: MS-RPRN 2.2.3.1.
describe('permissions of a queue', () => {
  test('the usual: everybody prints, administrators manage', () => {
    expect(ask(USUAL_SDDL)).toEqual(['allowed', 'refused', 'refused']);
    expect(ask(USUAL_SDDL, ['BUILTIN\\Users'])).toEqual(['allowed', 'refused', 'refused']);
  });

  test('managing documents is inherited by the jobs and is a right of its own', () => {
    expect(ask(`D:(A;OIIO;RPWPSDRCWDWO;;;${MIRA})`)).toEqual(['refused', 'allowed', 'refused']);
    expect(ask(`D:(A;;LCSWSDRCWDWO;;;${MIRA})`)).toEqual(['allowed', 'refused', 'allowed']);
  });

  test('a refusal comes before any permission', () => {
    expect(ask(`D:(A;;SWRC;;;WD)(D;;SWRC;;;${MIRA})`)[0]).toBe('refused');
    expect(ask(`D:(A;;SWRC;;;WD)(D;;SWRC;;;${MIRA})`, null, 'jonas')[0]).toBe('allowed');
  });

  test('a group whose members are not known leaves it open; a known one settles it', () => {
    expect(ask(`D:(A;;SWRC;;;${STAFF})`)[0]).toBe('unknown');
    expect(ask(`D:(A;;SWRC;;;${STAFF})`, ['EXAMPLE\\Staff'])[0]).toBe('allowed');
    expect(ask(`D:(A;;SWRC;;;${STAFF})`, ['EXAMPLE\\Guests'])[0]).toBe('refused');
  });

  test('masks in hex, generic rights', () => {
    expect(ask(`D:(A;;0x20008;;;${MIRA})`)).toEqual(['allowed', 'refused', 'refused']);
    expect(ask(`D:(A;;GA;;;${MIRA})`)).toEqual(['allowed', 'allowed', 'allowed']);
    expect(ask(`D:(A;;0x10000000;;;${MIRA})`)).toEqual(['allowed', 'allowed', 'allowed']);
  });

  test.each(['', 'G:SY', 'O:BA', 'D', '((((', 'D:'.repeat(40_000)])('%s is no list', (text) => {
    const aces = readSddl(text);
    expect(aces === undefined || aces.length === 0).toBe(true);
  });
});
