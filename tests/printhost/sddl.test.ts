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

  // The letters are those of MS-DTYP 2.5.1.1; names go by SID, as the collector writes them.
  test.each([
    ['BU', 'S-1-5-32-545', 'BUILTIN\\Users'],
    ['IU', 'S-1-5-4', 'NT AUTHORITY\\INTERACTIVE'],
    ['DU', 'S-1-5-21-9-513', 'EXAMPLE\\Staff'],
  ])('letters %s stand for a group whose name goes by its SID', (letters, sid, group) => {
    const aces = readSddl(`D:(A;;SWRC;;;${letters})`) ?? [];
    const print = (groups: readonly string[] | null) =>
      rightOf(aces, 'print', { user: 'mira', groups, names: { [sid]: group } });
    expect(print([group])).toBe('allowed');
    expect(print(['EXAMPLE\\Guests'])).toBe('refused');
    expect(print(null)).toBe('unknown');
  });

  test('letters and SIDs that have no name: settled by the SID among the groups, or left open', () => {
    expect(ask('D:(A;;SWRC;;;S-1-5-21-9-7777)', ['S-1-5-21-9-7777'])[0]).toBe('allowed');
    expect(ask('D:(A;;SWRC;;;S-1-5-21-9-7777)', ['EXAMPLE\\Guests'])[0]).toBe('refused');
    expect(ask('D:(A;;SWRC;;;XY)', ['EXAMPLE\\Guests'])[0]).toBe('unknown');
  });

  // INHERIT_ONLY_ACE (MS-DTYP 2.4.4.1): for the jobs, not for the queue.
  test('what only the jobs inherit lets nobody print', () => {
    expect(ask('D:(A;CIIO;GX;;;WD)')[0]).toBe('refused');
    expect(ask('D:(A;;SWRC;;;WD)(D;OIIO;GA;;;WD)')[0]).toBe('allowed');
  });

  // PRINTER_READ is 0x20008 (MS-RPRN 2.2.3.1).
  test('generic reading lets one print', () => {
    expect(ask(`D:(A;;GR;;;${MIRA})`)[0]).toBe('allowed');
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
