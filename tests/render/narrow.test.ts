import stringWidth from 'string-width';
import { expect, test } from 'vitest';
import { QUEUE_SCHEMA, type QueueDocument } from '../../src/model/queue.js';
import type { Forecast, SuppliesDocument } from '../../src/model/supplies.js';
import type { FoundPrinter, SweepDocument } from '../../src/model/sweep.js';
import { renderQueues } from '../../src/render/queue-text.js';
import { renderSupplies } from '../../src/render/supplies-text.js';
import { renderSweep } from '../../src/render/sweep-text.js';

/** Wide, combining, and of several code points that take two cells together (Unicode TR 11, TR 29). */
const WIDE = '営業部の見積書と請求書の控え 👩🏽‍🔧 é';

function widest(text: string): number {
  return Math.max(...text.split('\n').map((line) => stringWidth(line)));
}

const job = {
  id: 331,
  state: 'processing-stopped',
  reasons: ['printer-stopped-partly'],
  name: WIDE,
  user: WIDE,
  kOctets: 1204,
  createdAt: null,
  waitingSeconds: 6900,
  processingSeconds: null,
  format: null,
  impressions: null,
} as const;

const queues: QueueDocument = {
  schema: QUEUE_SCHEMA,
  askedAt: '2026-01-31T09:00:00.000Z',
  queues: [
    {
      uri: 'ipp://192.0.2.5/printers/front-desk',
      name: WIDE,
      server: '192.0.2.5',
      state: 'stopped',
      reasons: ['paused'],
      message: WIDE,
      accepting: true,
      deviceUri: null,
      leadsTo: null,
      members: [],
      jobs: [job],
      expectedWaitSeconds: null,
      clears: { byItself: false, inSeconds: null, because: 'not before somebody resumes the queue' },
      route: null,
      rights: null,
      findings: [],
    },
  ],
  crashLoop: null,
  problems: [],
};

const found: FoundPrinter = {
  address: '192.0.2.121',
  name: WIDE,
  model: WIDE,
  serial: WIDE,
  uuid: null,
  mac: null,
  ports: [631],
  snmp: '2c',
  ipp: null,
  dnsSd: false,
  foundBy: ['snmp', 'tcp', 'dns-sd'],
  alsoAt: [],
};
const sweep: SweepDocument = {
  schema: 'outfeed.sweep/1',
  ranges: ['192.0.2.0/24'],
  startedAt: '2026-01-31T09:00:00.000Z',
  tookMs: 1634,
  addressesTried: 254,
  found: [found],
  others: [{ address: '192.0.2.50', what: WIDE }],
  problems: [],
};

const forecast: Forecast = {
  printer: WIDE,
  supply: { index: 1, name: WIDE, type: 'toner', colour: 'black' },
  percent: 41,
  state: 'ok',
  enough: true,
  because: 'measured',
  perDay: { median: 0.8, low: 0.6, high: 1.1 },
  daysLeft: { median: 351, low: 237, high: 468 },
  emptyAt: { median: '2027-01-23', low: '2026-10-29', high: '2027-05-19' },
  pagesLeft: { median: 12_134, low: 1500, high: 2800 },
  refills: [],
  yield: null,
};
const supplies: SuppliesDocument = {
  schema: 'outfeed.supplies/1',
  asOf: '2026-01-31T09:00:00.000Z',
  interval: 0.9,
  forecasts: [forecast],
  orders: [],
  maintenance: [],
  problems: [],
};

test.each([40, 47, 60, 80])('nothing is wider than a terminal of %i cells, in wide letters too', (columns) => {
  const plain = { color: false, columns };
  expect(widest(renderQueues(queues, plain))).toBeLessThanOrEqual(columns);
  expect(widest(renderSweep(sweep, plain))).toBeLessThanOrEqual(columns);
  expect(widest(renderSupplies(supplies, { ...plain, today: '2026-01-31' }))).toBeLessThanOrEqual(columns);
});

test('a narrow terminal loses the least telling columns first', () => {
  const text = renderSupplies(supplies, { color: false, columns: 40, today: '2026-01-31' });
  expect(text).toContain('41 %');
  expect(text).toContain('23 Jan 2027');
  expect(renderSweep(sweep, { color: false, columns: 40 })).toContain('192.0.2.121');
});
