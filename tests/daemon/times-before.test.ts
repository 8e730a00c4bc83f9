import { expect, test } from 'vitest';
import { timesBefore } from '../../src/daemon/times-before.js';
import { calendarOf } from '../../src/forecast/calendar.js';
import type { KeptIncident } from '../../src/model/incident.js';

// 09:00 in Auckland (UTC+13 in January) is 20:00 of the day before in UTC.
test('earlier times are told by the calendar of the site', async () => {
  const earlier = { startedAt: '2026-01-30T20:00:00.000Z', note: 'A new tray.' } as KeptIncident;
  const store = { incidents: async () => [earlier] };
  const event = { kind: 'fault', printer: 'a', cause: 'media-empty', at: '2026-02-03T00:00:00.000Z' };
  const { dateOf } = calendarOf('Pacific/Auckland');
  const told = timesBefore(store, (at) => dateOf(Date.parse(at)));
  expect(await told({ key: 'k', events: [event] } as never)).toMatchObject([
    { before: 'This happened once before, last on 2026-01-31. What helped: A new tray.' },
  ]);
});
