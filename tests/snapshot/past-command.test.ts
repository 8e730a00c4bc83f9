import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { SnapshotDocument, SnapshotPrinter } from '../../src/model/snapshot.js';
import { openStore } from '../../src/store/store.js';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';
import { DAY, HOUR, incident, pages, printer, sample, verdict } from '../store/samples.js';

const ADDRESS = '127.35.84.1';
const DAYS = 60;

describe('a snapshot with what is remembered', () => {
  let folder: string;
  let device: RunningDevice;
  let start: number;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'outfeed-snapshot-past-'));
    const supplies = [{ name: 'Black toner', type: 'tonerCartridge', level: 600, capacity: 6000 }];
    device = await startDevice({ name: 'front-desk', model: 'Sandpiper 300', supplies }, { address: ADDRESS });
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      `site: { name: Harbour annex, timezone: Europe/Lisbon }
printers:
  - { name: Front-Desk, address: ${ADDRESS}, snmpPort: ${device.snmpPort}, ippUri: "${device.ippUri}", model: model.yaml }
`,
    );
    writeFileSync(
      join(folder, 'model.yaml'),
      'supplies:\n  - { order: K-300-XL, type: toner, colour: black }\n  - { order: K-300-XL, supply: Black toner }\n',
    );
    start = Date.now() - DAYS * DAY;
    const store = await openStore('sqlite:outfeed.db', { site: 'Harbour annex', folder });
    const days = Array.from({ length: DAYS }, (_, day) => day);
    await store.apply([
      printer('Front-Desk', start, { address: ADDRESS, lastAnswerAt: Date.now() - HOUR }),
      verdict('Front-Desk', start, 'nothing-wrong-found', false),
      verdict('Front-Desk', start + 30 * DAY, 'media-empty', true),
      verdict('Front-Desk', start + 31 * DAY, 'nothing-wrong-found', false),
      // 90 of 6,000 impressions, 1.5 percent points, and 80 pages a day.
      ...days.flatMap((day) => [
        sample('Front-Desk', start + day * DAY, 6000 - 90 * day),
        sample('Front-Desk', start + day * DAY, 9000 + 80 * day, pages),
      ]),
      incident('alone', start + 30 * DAY, {
        printer: 'Front-Desk',
        affects: ['Front-Desk'],
        endedAt: start + 31 * DAY,
      }),
      incident('together', start + 50 * DAY, {
        printer: 'canteen',
        affects: ['canteen', 'Front-Desk'],
        endedAt: start + 50 * DAY + HOUR,
      }),
      incident('another', start + 51 * DAY, { printer: 'canteen', affects: ['canteen'], endedAt: start + 52 * DAY }),
    ]);
    await store.close();
  });
  afterAll(async () => {
    await device.close();
    rmSync(folder, { recursive: true, force: true });
  });

  async function snapshot(out: string, ...argv: string[]): Promise<SnapshotDocument> {
    await outfeed(['snapshot', ...argv, '--out', out], { cwd: folder });
    const document: unknown = JSON.parse(readFileSync(join(folder, out, 'site.json'), 'utf8'));
    for (const validate of [published('snapshot'), closed('snapshot')]) {
      validate(document);
      expect(validate.errors ?? []).toEqual([]);
    }
    return document as SnapshotDocument;
  }

  const only = ({ printers }: SnapshotDocument): SnapshotPrinter => {
    const [entry] = printers;
    if (entry === undefined) throw new Error('no printer');
    return entry;
  };

  test.each(['Front-Desk', 'FRONT-DESK'])(
    'a name is the same however it is written, %s: incidents come along as forecasts do, those of several printers too',
    async (typed) => {
      const entry = only(await snapshot(`case-${typed === 'Front-Desk' ? 'kept' : 'other'}`, typed));
      expect(entry.incidents.map(({ id }) => id)).toEqual(['together', 'alone']);
      expect(entry.supplies[0]?.enough).toBe(true);
    },
    90_000,
  );

  test('states of three months, pages of each day, what runs out and what it is ordered as', async () => {
    const document = await snapshot('past');
    const { past, supplies } = only(document);
    expect(past?.states.map(({ state, cause }) => [state, cause])).toEqual([
      ['unwatched', null],
      ['well', null],
      ['silent', 'media-empty'],
      ['well', null],
    ]);
    const known = (past?.pages ?? []).filter((one) => one !== null);
    expect(known.length).toBeGreaterThanOrEqual(DAYS - 1);
    // 80 a day, the days of the samples and of UTC not beginning together.
    expect(known.filter((one) => one === 80).length).toBeGreaterThan(DAYS - 6);
    // By hand: 10 % left at 1.5 points a day is about a week.
    expect(supplies[0]?.emptyAt).not.toBeNull();
    expect(document.visit.runsOut).toMatchObject([{ printer: 'Front-Desk', supply: 'Black toner' }]);
    expect(document.visit.bring.map(({ what }) => what)).toContainEqual(expect.stringContaining('ordered as K-300-XL'));
    expect(document.timezone).toBe('Europe/Lisbon');
  });

  test('since the last visit: by a date, by a snapshot, by the newest one beside; stated wrongly it is one sentence', async () => {
    const day = new Date(start + 40 * DAY).toISOString();
    const byDate = await snapshot('since-date', '--last-visit', day.slice(0, 10));
    expect(byDate.visit.lastVisit).toBe(`${day.slice(0, 10)}T00:00:00.000Z`);
    expect(only(byDate).sinceVisit).toMatchObject({ faults: 1 });
    // The counter of that midnight was read the day before, at most a day earlier.
    expect(9000 + 80 * 40 - (only(byDate).sinceVisit?.lifePagesThen ?? 0)).toBeLessThanOrEqual(80);
    const bySnapshot = await snapshot('since-snapshot', '--last-visit', 'since-date');
    expect(bySnapshot.visit.lastVisit).toBe(byDate.madeAt);
    expect(only(bySnapshot).sinceVisit).toMatchObject({ pages: 0, faults: 0 });
    for (const [typed, said] of [
      ['nowhere', /nowhere/],
      ['2999-01-01', /lies in the future/],
      ['2026-02-30T00:00Z', /no time of the calendar/],
    ] as const) {
      const { code, err } = await outfeed(['snapshot', '--last-visit', typed, '--out', 'never'], { cwd: folder });
      expect([code, err.trim().split('\n').length]).toEqual([2, 1]);
      expect(err).toMatch(said);
    }
    const { err } = await outfeed(['snapshot', '--next-visit', 'soon', '--out', 'never'], { cwd: folder });
    expect(err).toContain('--next-visit takes a date such as 2026-03-31, not "soon"');
  }, 90_000);
});
