import { describe, expect, test } from 'vitest';
import { lastVisitOf, nextVisitOf } from '../../src/commands/last-visit.js';
import { SILENT } from './silent-io.js';

const at = (time: string) => ({ ...SILENT, now: () => new Date(time) });

// UTC+13 there in January: 09:00 on the 31st is 20:00 of the 30th in UTC.
describe('a morning in Auckland', () => {
  const timezone = 'Pacific/Auckland';
  const io = at('2026-01-30T20:00:00Z');

  test('today may be the last visit: it began at the midnight of the site', async () => {
    const visit = await lastVisitOf('2026-01-31', { name: 'annex', timezone }, io);
    expect(visit).toEqual({ at: '2026-01-30T11:00:00.000Z' });
    await expect(lastVisitOf('2026-02-01', { name: 'annex', timezone }, io)).rejects.toThrow('lies in the future');
  });

  test('yesterday is over', () => {
    expect(nextVisitOf('2026-01-31', timezone, io)).toBe('2026-01-31');
    expect(() => nextVisitOf('2026-01-30', timezone, io)).toThrow('is over');
  });
});

// UTC−8 there in January: 21:00 on the 31st is 05:00 of the next day in UTC.
test('an evening in Los Angeles: today is not over', () => {
  const io = at('2026-02-01T05:00:00Z');
  expect(nextVisitOf('2026-01-31', 'America/Los_Angeles', io)).toBe('2026-01-31');
  expect(() => nextVisitOf('2026-01-31', undefined, io)).toThrow('is over');
});
