import { describe, expect, test } from 'vitest';
import { endOfQuiet, officeIsOpen, wallClock } from '../../src/daemon/hours.js';

const lisbon = wallClock('Europe/Lisbon');
const at = (text: string): number => Date.parse(text);
const iso = (time: number): string => new Date(time).toISOString();

describe('office hours, on the clock of the site', () => {
  test.each([
    ['2026-03-02T07:59:00Z', false, 'Monday before eight'],
    ['2026-03-02T08:00:00Z', true, 'Monday at eight'],
    ['2026-03-02T18:00:00Z', false, 'at the end'],
    ['2026-03-01T12:00:00Z', false, 'Sunday'],
    // Lisbon is at UTC+1 from 29 March 2026 on (last Sunday of March, EU Directive 2000/84/EC).
    ['2026-03-30T07:30:00Z', true, 'summer time: half past eight there'],
    ['2026-03-30T17:30:00Z', false, 'summer time: half past six there'],
  ])('%s: %s (%s)', (time, open) => {
    expect(officeIsOpen(lisbon, 'mon-fri 08:00-18:00', at(time))).toBe(open);
  });

  test('without office hours somebody is always there', () => {
    expect(officeIsOpen(lisbon, undefined, at('2026-03-01T03:00:00Z'))).toBe(true);
  });
});

describe('quiet hours', () => {
  test.each([
    ['2026-03-02T19:59:00Z', '2026-03-02T19:59:00.000Z'],
    ['2026-03-02T20:00:30Z', '2026-03-03T07:00:00.000Z'],
    ['2026-03-03T06:59:59Z', '2026-03-03T07:00:00.000Z'],
    ['2026-03-03T07:00:00Z', '2026-03-03T07:00:00.000Z'],
    // The night in which the clock is put forward is an hour shorter.
    ['2026-03-28T22:00:00Z', '2026-03-29T06:00:00.000Z'],
    // And the one in which it is put back (25 October 2026) an hour longer.
    ['2026-10-24T22:00:00Z', '2026-10-25T07:00:00.000Z'],
  ])('told at %s: heard at %s', (told, heard) => {
    expect(iso(endOfQuiet(lisbon, '20:00-07:00', at(told)))).toBe(heard);
  });

  test('within one day, and none at all', () => {
    expect(iso(endOfQuiet(lisbon, '12:00-13:00', at('2026-03-02T12:30:00Z')))).toBe('2026-03-02T13:00:00.000Z');
    expect(endOfQuiet(lisbon, undefined, 5)).toBe(5);
  });
});
