import { describe, expect, test } from 'vitest';
import { calendarOf, DAY, shareUsed, usedBy, weekdayOf } from '../../src/forecast/calendar.js';
import { byDay, usedBetween, weekWeights } from '../../src/forecast/week.js';

const office = [1.4, 1.4, 1.4, 1.4, 1.4, 0, 0];

describe('local days', () => {
  test('a time zone moves midnight; summer time counts (Europe/Lisbon, clocks on 2026-03-29)', () => {
    const lisbon = calendarOf('Europe/Lisbon');
    expect(lisbon.dateOf(Date.parse('2026-01-31T23:30:00Z'))).toBe('2026-01-31');
    expect(lisbon.dateOf(Date.parse('2026-06-30T23:30:00Z'))).toBe('2026-07-01');
    expect(calendarOf().dateOf(Date.parse('2026-06-30T23:30:00Z'))).toBe('2026-06-30');
  });

  // IANA time zone database: when the clocks change, and by how much.
  test.each([
    ['Europe/Berlin', '2026-03-29T01:00:00Z', 60],
    ['Europe/Berlin', '2026-10-25T01:00:00Z', -60],
    ['America/New_York', '2026-11-01T06:00:00Z', -60],
    ['America/Los_Angeles', '2026-03-08T10:00:00Z', 60],
    ['Pacific/Auckland', '2026-04-04T14:00:00Z', -60],
    ['Australia/Lord_Howe', '2026-04-04T15:00:00Z', -30],
    ['America/Santiago', '2026-09-06T04:00:00Z', 60],
    ['Pacific/Apia', '2011-12-30T10:00:00Z', 24 * 60],
  ])('%s changes its clocks at %s by %d minutes', (zone, moment, minutes) => {
    const { dayOf, momentOf, dateOf } = calendarOf(zone);
    const change = Date.parse(moment);
    const local = (at: number) => dayOf(at).day + dayOf(at).passed;
    expect((local(change) - local(change - 1)) * 24 * 60).toBeCloseTo(minutes, 4);
    for (let hour = -36; hour <= 36; hour++) {
      const at = change + (hour + 0.5) * (DAY / 24);
      // What comes twice can't be told apart.
      const twice = Math.abs(at - change) < Math.abs(minutes) * 60_000 && minutes < 0;
      if (!twice) expect(momentOf(local(at)), `${hour} hours from the change`).toBeCloseTo(at, -1);
      const here = new Intl.DateTimeFormat('en-CA', { timeZone: zone, dateStyle: 'short' });
      expect(dateOf(at)).toBe(here.format(at));
    }
  });

  // IANA time zone database: UTC-4 until midnight, which there was not on that day, then UTC-3.
  test('a day that begins at one begins when the clocks go on (America/Santiago)', () => {
    const midnight = Date.parse('2026-09-06') / DAY;
    expect(new Date(calendarOf('America/Santiago').momentOf(midnight)).toISOString()).toBe('2026-09-06T04:00:00.000Z');
  });

  // UTC+1 at midnight, an hour before the clocks go on; UTC+13 at midnight, 3 hours before they go back.
  test.each([
    ['Europe/Berlin', '2026-03-29', '2026-03-28T23:00:00.000Z'],
    ['Europe/Berlin', '2026-03-30', '2026-03-29T22:00:00.000Z'],
    ['Pacific/Auckland', '2026-04-05', '2026-04-04T11:00:00.000Z'],
    ['America/Los_Angeles', '2026-11-01', '2026-11-01T07:00:00.000Z'],
    ['America/Los_Angeles', '2026-11-02', '2026-11-02T08:00:00.000Z'],
  ])('midnight of %s on %s', (zone, date, moment) => {
    expect(new Date(calendarOf(zone).momentOf(Date.parse(date) / DAY)).toISOString()).toBe(moment);
  });

  test('day 0 was a Thursday', () => {
    expect(weekdayOf(0)).toBe(3);
    expect(weekdayOf(calendarOf().dayOf(Date.parse('2026-01-05T12:00:00Z')).day)).toBe(0);
    expect(weekdayOf(-4)).toBe(6);
  });
});

describe('the clock of use', () => {
  test('runs by seven a week, and stands at the weekend', () => {
    const monday = calendarOf().dayOf(Date.parse('2026-01-05T00:00:00Z')).day;
    expect(usedBy(office, monday + 7, 0) - usedBy(office, monday, 0)).toBeCloseTo(7, 9);
    expect(usedBy(office, monday + 7, 0) - usedBy(office, monday + 5, 0)).toBeCloseTo(0, 9);
  });

  test('never runs backwards, and a day is used mostly between 07:00 and 19:00', () => {
    expect(shareUsed(0)).toBe(0);
    expect(shareUsed(1)).toBe(1);
    expect(shareUsed(19 / 24) - shareUsed(7 / 24)).toBeCloseTo(0.9, 9);
    for (let hour = 0; hour < 24; hour++) expect(shareUsed((hour + 1) / 24)).toBeGreaterThan(shareUsed(hour / 24));
  });
});

describe('the rhythm of the week', () => {
  const monday = Date.parse('2026-01-05T00:00:00Z');
  const uses = (weeks: number) =>
    Array.from({ length: weeks * 7 }, (_, i) => ({
      from: monday + i * DAY,
      to: monday + (i + 1) * DAY,
      amount: i % 7 < 5 ? 10 : 0,
    }));

  test('is learnt from the days', () => {
    const weights = weekWeights(byDay(uses(20), calendarOf()), 1);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(7, 9);
    expect(weights[0]).toBeGreaterThan(1.3);
    expect(weights[6]).toBeLessThan(0.05);
  });

  test('is the usual one as long as nothing is known', () => {
    const weights = weekWeights(new Map(), 1);
    expect(weights[0]).toBeCloseTo(5 * (weights[6] ?? 0), 9);
  });

  test('long silences say nothing of single days', () => {
    expect(byDay([{ from: monday, to: monday + 10 * DAY, amount: 100 }], calendarOf()).size).toBe(0);
  });

  test('use between two moments', () => {
    expect(usedBetween(office, calendarOf(), monday, monday + 14 * DAY)).toBeCloseTo(14, 9);
  });
});
