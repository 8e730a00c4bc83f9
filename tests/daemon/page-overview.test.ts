import { expect, test } from 'vitest';
import { LatestReadings } from '../../src/daemon/latest.js';
import type { Asked } from '../../src/daemon/outside/http/answer.js';
import { type PageParts, pageRoute } from '../../src/daemon/page-routes.js';

/** Longer than an overview is held. */
const SLOW_MS = 300;

test('an overview that takes long to draw is drawn once for all who ask, each with a token of their own', async () => {
  let drawn = 0;
  const printers = () => {
    drawn++;
    const until = performance.now() + SLOW_MS;
    while (performance.now() < until);
    return [];
  };
  const parts = {
    agent: { watch: { printers }, sweepState: () => ({ running: false, lastAt: null }) },
    latest: new LatestReadings(),
    store: {},
    now: () => Date.parse('2026-01-31T09:00:00Z'),
    site: () => ({ name: 'Harbour annex', timezone: 'UTC', people: new Map() }),
    assets: { style: '/a.css', script: '/a.js' },
  } as unknown as PageParts;
  const route = pageRoute(parts);
  const pages: string[] = [];
  for (const csrf of ['token-of-one', 'token-of-two', 'token-of-three']) {
    const asked = {
      method: 'GET',
      path: '/',
      query: new URLSearchParams(),
      csrf,
      accept: 'text/html',
      signedIn: false,
    };
    pages.push(String((await route(asked as Asked))?.body));
  }
  expect(drawn).toBe(1);
  expect(pages.map((page) => page.match(/value="(token-of-[a-z]+)"/g))).toEqual([
    ['value="token-of-one"'],
    ['value="token-of-two"'],
    ['value="token-of-three"'],
  ]);
});
