import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { SnapshotDocument } from '../../src/model/snapshot.js';
import type { SuppliesDocument } from '../../src/model/supplies.js';
import type { Change } from '../../src/store/change.js';
import { openStore } from '../../src/store/store.js';
import { closed, published } from '../schemas/validator.js';
import { DAY, HOUR, incident, pages, printer, sample } from '../store/samples.js';
import { outfeed } from './captured-io.js';

const ADDRESS = '127.35.62.1';
const DAYS = 60;
/** One percent point (60 of 6,000 impressions) and 80 pages a day. */
const LEVEL = (day: number): number => 6000 - 60 * day;

let folder: string;
let device: RunningDevice;
let now: number;

/** What an agent would have kept: levels when they change, the counter when it moves, jams of tray 1, most of them lately. */
function kept(from: number): readonly Change[] {
  const days = Array.from({ length: DAYS }, (_, day) => day);
  const jams = [5, 12, 33, 36, 39, 42, 44, 47, 50, 52, 55, 58];
  return [
    printer('front-desk', from, { address: ADDRESS, lastAnswerAt: from + (DAYS - 1) * DAY + 6 * HOUR }),
    { kind: 'identity', printer: 'front-desk', what: 'model', value: 'Sandpiper 300', at: from },
    ...days.flatMap((day) => [
      sample('front-desk', from + day * DAY, 9000 + 80 * day, pages),
      sample('front-desk', from + day * DAY, LEVEL(day)),
      sample('front-desk', from + day * DAY + 6 * HOUR, 9000 + 80 * day + 40, pages),
    ]),
    incident('i1', from + 30 * DAY, { endedAt: from + 30 * DAY + HOUR }),
    ...jams.map(
      (day): Change => ({
        kind: 'alert',
        printer: 'front-desk',
        code: 'jam',
        place: 'input 1',
        startedAt: from + day * DAY,
        endedAt: from + day * DAY + HOUR,
        severity: 'critical',
        description: 'Paper jam',
      }),
    ),
  ];
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-supplies-store-'));
  now = Date.now();
  const supplies = [{ name: 'Black toner', type: 'tonerCartridge', level: LEVEL(DAYS), capacity: 6000 }];
  const lifePages = 9000 + 80 * DAYS;
  device = await startDevice({ name: 'front-desk', model: 'Sandpiper 300', supplies, lifePages }, { address: ADDRESS });
  writeFileSync(
    join(folder, 'outfeed.yaml'),
    `site: { name: Harbour annex, timezone: UTC }
printers:
  - { name: front-desk, address: ${ADDRESS}, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}" }
`,
  );
  const store = await openStore('sqlite:outfeed.db', { site: 'Harbour annex', folder });
  await store.apply(kept(now - DAYS * DAY));
  await store.close();
});
afterAll(async () => {
  await device.close();
  rmSync(folder, { recursive: true, force: true });
});

async function supplies(...argv: string[]): Promise<SuppliesDocument> {
  const { out, err } = await outfeed(['supplies', '--json', ...argv], { cwd: folder });
  expect(err).toBe('');
  for (const validate of [published('supplies'), closed('supplies')]) expect(validate(JSON.parse(out))).toBe(true);
  return JSON.parse(out) as SuppliesDocument;
}

describe('supplies out of what the agent remembers', () => {
  test('the look of now ends the past: the forecast is that of a steady percent a day', async () => {
    const { forecasts } = await supplies();
    const [toner] = forecasts.filter(({ supply }) => supply.index === 1);
    expect(toner).toMatchObject({ printer: 'front-desk', percent: 40, enough: true, refills: [] });
    // By hand: 40 points left at one a day; 80 pages a day for 40 days.
    expect(toner?.daysLeft?.median).toBeGreaterThan(35);
    expect(toner?.daysLeft?.median).toBeLessThan(46);
    expect(toner?.pagesLeft?.median).toBeGreaterThan(2800);
    expect(toner?.pagesLeft?.median).toBeLessThan(3700);
  });

  test('as of a moment that is over nobody is asked, and nothing later counts', async () => {
    const asOf = new Date(now - 20 * DAY).toISOString();
    const [toner] = (await supplies('--as-of', asOf)).forecasts;
    expect(toner?.percent).toBe(60);
    expect(toner?.daysLeft?.median).toBeGreaterThan(52);
    expect(toner?.daysLeft?.median).toBeLessThan(68);
  });

  test('feeding faults that rise are said with their rates', async () => {
    const { feeding } = await supplies();
    expect(feeding).toMatchObject([{ printer: 'front-desk', tray: 'input 1', faults: 12, rising: true }]);
    const { out } = await outfeed(['supplies'], { cwd: folder });
    expect(out.replace(/\s+/g, ' ')).toMatch(
      /front-desk: the rollers of input 1 wear: [\d.]+ feeding faults for 10,000 sheets lately, [\d.]+ before \(12 in all\)/,
    );
  });

  test('a snapshot carries the forecast and the incidents', async () => {
    const { code, err } = await outfeed(['snapshot', '--out', 'taken', '--quiet'], { cwd: folder });
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const snapshot = JSON.parse(readFileSync(join(folder, 'taken', 'site.json'), 'utf8')) as SnapshotDocument;
    const validate = published('snapshot');
    expect(validate(snapshot), JSON.stringify(validate.errors)).toBe(true);
    const [entry] = snapshot.printers;
    expect(entry?.supplies.find(({ supply }) => supply.index === 1)).toMatchObject({ percent: 40, enough: true });
    expect(entry?.incidents).toMatchObject([{ id: 'i1', cause: 'media-empty', component: 'Tray 2' }]);
    const page = readFileSync(join(folder, 'taken', 'site.html'), 'utf8');
    expect(page).toContain('media-empty');
  });

  test('a printer that does not answer now keeps what is remembered of it', async () => {
    await device.close();
    const document = await supplies('--timeout', '200', '--retries', '0');
    expect(document.forecasts).toMatchObject([{ printer: 'front-desk', enough: true, percent: 41 }]);
    expect(document.problems[0]).toContain('front-desk tells nothing of its supplies');
  });
});
