import { expect, test } from 'vitest';
import { incidentsModel } from '../../src/daemon/page-models.js';
import { siteReliability } from '../../src/daemon/site-reliability.js';
import type { KeptIncident } from '../../src/model/incident.js';
import type { Store } from '../../src/store/store.js';

const NOW = Date.parse('2026-03-01T00:00:00Z');
const HOUR = 3_600_000;

function incident(i: number): KeptIncident {
  const startedAt = NOW - (i + 1) * HOUR;
  return {
    id: `i${i}`,
    printer: 'front-desk',
    layer: 'media',
    cause: 'media-empty',
    component: null,
    startedAt: new Date(startedAt).toISOString(),
    endedAt: new Date(startedAt + 60_000).toISOString(),
    acknowledgedAt: null,
    affects: ['front-desk'],
    note: null,
    flapping: false,
  };
}

test('the page counts reliability over every incident, not over the newest that it shows', async () => {
  const asked: number[] = [];
  const store = {
    // 2,100 hours are less than three months.
    incidents: async ({ limit }: { readonly limit: number }) => {
      asked.push(limit);
      return Array.from({ length: Math.min(limit, 2_100) }, (_, i) => incident(i));
    },
    firstSeen: async () => new Map([['front-desk', NOW - 89 * 24 * HOUR]]),
  } as unknown as Store;
  const reliability = siteReliability(store, () => NOW);
  const model = await incidentsModel(store, reliability, NOW);
  expect(model?.incidents).toHaveLength(2_000);
  expect(model?.reliability).toMatchObject([{ printer: 'front-desk', faults: 2_100 }]);
  await incidentsModel(store, reliability, NOW);
  expect(asked).toHaveLength(3);
});

test('a memory that is away is said to be so', async () => {
  const away = async () => Promise.reject(new Error('away'));
  const store = { incidents: away, firstSeen: away } as unknown as Store;
  expect(
    await incidentsModel(
      store,
      siteReliability(store, () => NOW),
      NOW,
    ),
  ).toBeNull();
});
