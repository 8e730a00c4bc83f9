import { expect, test } from 'vitest';
import { incidentsModel } from '../../src/daemon/page-models.js';
import { siteReliability } from '../../src/daemon/site-reliability.js';
import type { KeptIncident } from '../../src/model/incident.js';
import { incidentsPage } from '../../src/page/incidents.js';
import { suspectList } from '../../src/page/suspects.js';
import { ENGLISH } from '../../src/page/words.js';
import type { Store } from '../../src/store/store.js';
import { frame } from '../page/views.js';
import { sampleWhy } from '../render/why-samples.js';

const NOW = Date.parse('2026-03-01T00:00:00Z');
const HOUR = 3_600_000;
const NOBODY_LOOKED = { of: () => undefined };

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
  const model = await incidentsModel(store, NOBODY_LOOKED, reliability, NOW);
  expect(model?.incidents).toHaveLength(2_000);
  expect(model?.reliability).toMatchObject([{ printer: 'front-desk', faults: 2_100 }]);
  await incidentsModel(store, NOBODY_LOOKED, reliability, NOW);
  expect(asked).toHaveLength(3);
});

test('a memory that is away is said to be so', async () => {
  const away = async () => Promise.reject(new Error('away'));
  const store = { incidents: away, firstSeen: away } as unknown as Store;
  expect(
    await incidentsModel(
      store,
      NOBODY_LOOKED,
      siteReliability(store, () => NOW),
      NOW,
    ),
  ).toBeNull();
});

test('an incident that goes on and a suspect speak of the job that the last look saw, not of one whose number is unknown', async () => {
  const summary = 'The first job (330) in the print queue lamp-store has hung for 114 min.';
  const stuck = { layer: 'queue', cause: 'head-job-stuck' } as const;
  const verdict = { ...stuck, certainty: 'likely', component: 'lamp-store', summary, next: [] } as const;
  const suspects = [
    { ...stuck, probability: 0.8 },
    { layer: 'queue', cause: 'queue-paused', probability: 0.1 },
  ] as const;
  const why = sampleWhy({ target: 'front-desk', verdict, suspects });
  const going = { ...incident(0), ...stuck, component: 'lamp-store', endedAt: null };
  const store = { incidents: async () => [going, { ...going, id: 'other', printer: 'studio' }] };
  const latest = { of: (name: string) => (name === 'front-desk' ? { why, bundle: null, document: null } : undefined) };
  const page = incidentsPage(await incidentsModel(store as never, latest as never, async () => [], NOW), frame());
  expect(page.match(/The first job \(330\)/g)).toHaveLength(1);
  expect(page.match(/The first job \(number unknown\)/g)).toHaveLength(1);
  expect(String(suspectList(why, ENGLISH).html ?? '')).toContain(summary);
});
