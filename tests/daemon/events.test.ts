import { expect, test } from 'vitest';
import { LatestReadings } from '../../src/daemon/latest.js';
import type { Asked } from '../../src/daemon/outside/http/answer.js';
import { eventsRoute } from '../../src/daemon/printer-routes.js';
import { EVENT_SCHEMA, type EventDocument } from '../../src/model/event.js';

const event = (id: string): EventDocument => ({
  schema: EVENT_SCHEMA,
  id,
  kind: 'fault',
  printer: 'front-desk',
  layer: 'device',
  cause: 'paused',
  at: '2026-01-31T09:00:00.000Z',
  summary: 'It is paused.',
});
const asked = (lastEventId: string) =>
  ({ path: '/api/v1/events', method: 'GET', query: new URLSearchParams(), lastEventId }) as Asked;

test('an event that comes while the answer begins is neither lost nor told twice', async () => {
  const latest = new LatestReadings();
  latest.tell(event('one'));
  const answer = await eventsRoute(latest)(asked('one'));
  latest.tell(event('two'));
  const gone = new AbortController();
  let said = String(answer?.body);
  answer?.more?.((text) => {
    said += text;
  }, gone.signal);
  latest.tell(event('three'));
  gone.abort();
  latest.tell(event('four'));
  expect(said.match(/^id: .*/gm)).toEqual(['id: two', 'id: three']);
});
