import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { SuppliesDocument } from '../../src/model/supplies.js';
import { closed, published } from '../schemas/validator.js';
import { outfeed } from './captured-io.js';

const DAY = 86_400_000;
const START = Date.parse('2026-01-05T08:00:00Z');
const HEADER = 'at,printer,supply,level,capacity,unit,pages';

let folder: string;
const devices: RunningDevice[] = [];
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-supplies-'));
});
afterAll(async () => {
  await Promise.all(devices.map((device) => device.close()));
  rmSync(folder, { recursive: true, force: true });
});

const run = (...argv: string[]) => outfeed(['supplies', ...argv], { cwd: folder });
const documentOf = (out: string): SuppliesDocument => JSON.parse(out) as SuppliesDocument;

function lines(printer: string, supply: string, from: number, by: number, days: number): string[] {
  return Array.from({ length: days }, (_, i) => {
    const level = Math.max(0, Math.round((from - i * by) * 60));
    return `${new Date(START + i * DAY).toISOString()},${printer},${supply},${level},6000,impressions,${9000 + i * 50}`;
  });
}

function written(name: string, body: readonly string[], header = HEADER): string {
  writeFileSync(join(folder, name), `${[header, ...body].join('\n')}\n`);
  return name;
}

function expectValid(text: string): void {
  for (const validate of [published('supplies'), closed('supplies')]) {
    validate(JSON.parse(text));
    expect(validate.errors ?? []).toEqual([]);
  }
}

describe('from a history in a file', () => {
  const calm = () => written('calm.csv', lines('front-desk', 'Black toner', 100, 0.6, 31));
  const urgent = () =>
    written('urgent.csv', [
      ...lines('front-desk', 'Black toner', 100, 3, 31),
      ...lines('back-office', 'Black toner', 100, 2.9, 31),
      ...lines('back-office', 'Drum', 80, 0.1, 31),
    ]);

  test('--json: one document that its schema allows, as of the last reading', async () => {
    const { code, out, err } = await run('--history', calm(), '--json');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expectValid(out);
    const { schema, asOf, interval, forecasts, orders } = documentOf(out);
    expect({ schema, asOf, interval, orders }).toEqual({
      schema: 'outfeed.supplies/1',
      asOf: '2026-02-04T08:00:00.000Z',
      interval: 0.9,
      orders: [],
    });
    expect(forecasts[0]).toMatchObject({
      printer: 'front-desk',
      supply: { index: 1, name: 'Black toner', type: 'toner', colour: 'black' },
      percent: 82,
      state: 'ok',
      enough: true,
    });
  });

  test('text: exit 1 when something must be ordered today; first what to do; no line wider than 80', async () => {
    const { code, out, err } = await run('--history', urgent());
    expect({ code, err }).toEqual({ code: 1, err: '' });
    expect(out).toMatch(/^Supplies on 4 Feb 2026: 1 order is due today\.\n\nORDER TODAY\n {2}2 x Black toner, for /);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  test('TARGET picks printers; an unknown one is exit 2 with what there is', async () => {
    const { out } = await run('Back-Office', '--history', urgent(), '--json');
    expect(documentOf(out).forecasts.map(({ printer }) => printer)).toEqual(['back-office', 'back-office']);
    const { code, err } = await run('attic', '--history', urgent());
    expect(code).toBe(2);
    expect(err).toBe('outfeed: urgent.csv has no printer "attic"; it has front-desk, back-office.\n');
  });

  test('--as-of leaves out what came later', async () => {
    const { out } = await run('--history', urgent(), '--as-of', '2026-01-20', '--json');
    expect(documentOf(out)).toMatchObject({ asOf: '2026-01-20T00:00:00.000Z' });
    expect(documentOf(out).forecasts[0]?.percent).toBe(58);
  });

  test('--interval, --lead-days and --risk bear on the answer', async () => {
    const wide = documentOf((await run('--history', calm(), '--interval', '99%', '--json')).out);
    const narrow = documentOf((await run('--history', calm(), '--interval', '0.5', '--json')).out);
    expect(wide.forecasts[0]?.daysLeft?.high).toBeGreaterThan(narrow.forecasts[0]?.daysLeft?.high ?? 0);
    const early = await run('--history', calm(), '--lead-days', '200', '--json');
    expect(early.code).toBe(1);
    expect(documentOf(early.out).orders).toMatchObject([{ quantity: 1, orderBy: '2026-02-04' }]);
  });

  test('--csv writes the same to a file', async () => {
    await run('--history', urgent(), '--csv', 'out.csv');
    const rows = readFileSync(join(folder, 'out.csv'), 'utf8').split('\r\n');
    expect(rows[0]).toMatch(/^kind,printer,index,supply,/);
    expect(rows.filter((row) => row.startsWith('forecast,'))).toHaveLength(3);
    expect(rows.filter((row) => row.startsWith('order,'))).toHaveLength(1);
    expect(new Set(rows.slice(0, -1).map((row) => row.replaceAll(/"[^"]*"/g, '').split(',').length)).size).toBe(1);
  });

  test('a model file gives the order its name, and prices', async () => {
    writeFileSync(
      join(folder, 'model.yaml'),
      'currency: EUR\nsupplies:\n  - { order: PE-410K, type: toner, colour: black, ratedPages: 5000, price: 80 }\nmaintenance:\n  - { part: fuser, everyPages: 10600 }\n',
    );
    writeFileSync(
      join(folder, 'models.yaml'),
      'printers:\n  - { name: front-desk, address: 192.0.2.21, model: model.yaml }\n',
    );
    const { out } = await run('--history', urgent(), '--config', 'models.yaml', '--json');
    expectValid(out);
    const { orders, forecasts, maintenance } = documentOf(out);
    expect(orders.map(({ what }) => what).sort()).toEqual(['Black toner', 'PE-410K']);
    expect(forecasts[0]?.yield).toMatchObject({ ratedPagesPerPercent: 50, currency: 'EUR' });
    expect(maintenance).toMatchObject([{ printer: 'front-desk', part: 'fuser', pagesLeft: 100, state: 'soon' }]);
  });
});

describe('files that can not be read', () => {
  test('every bad line is one sentence with its number; exit 2', async () => {
    const good = lines('a', 'Drum', 50, 1, 3);
    const file = written('bad.csv', [...good, 'soon,a,Drum,1,2,items,3', ...good, '2026-01-31,a,Drum,1,2,pints,3']);
    const { code, out, err } = await run('--history', file);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err.split('\n')).toEqual([
      'bad.csv:5: at takes an ISO 8601 time from 1970 to 2999 such as 2026-01-31T08:00:00Z, not "soon".',
      expect.stringMatching(/^bad\.csv:9: unit "pints" is none of RFC 3805, as in RFC 3805: other, .*\.$/),
      'outfeed: bad.csv has 2 lines that can not be read; correct or delete what is named above.',
      '',
    ]);
  });

  test.each([
    ['no header', 'nohead.csv', 'x,y,z', 'nohead.csv:1: the first line has to be "at,printer,supply,'],
    ['a quote that never ends', 'quote.csv', HEADER, 'quote.csv:2: not CSV that can be read'],
    ['no readings', 'empty.csv', HEADER, 'empty.csv holds no readings below its first line'],
  ])('%s', async (what, name, header, says) => {
    written(name, what.startsWith('a quote') ? ['"2026-01-31,a'] : [], header);
    const { code, err } = await run('--history', name);
    expect(code).toBe(2);
    expect(err).toContain(says);
  });

  test('none there, or a folder', async () => {
    expect((await run('--history', 'none.csv')).err).toMatch(
      /^outfeed: Can't read .*none\.csv: there is no such file\.\n$/,
    );
    expect((await run('--history', '.')).err).toContain('it is a folder');
  });

  test('text that somebody made up can not act on the terminal', async () => {
    const hostile = 'Toner\u001b]0;owned\u0007\u202e';
    const file = written('hostile.csv', lines('desk\u001b[31m', hostile, 100, 3, 31));
    for (const extra of [[], ['--json']]) {
      const { out, err } = await run('--history', file, ...extra);
      expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
    }
  });

  test.each([
    [['--interval', '2'], '--interval takes a probability'],
    [['--risk', 'some'], '--risk takes a probability'],
    [['--lead-days', '-1'], '--lead-days takes a whole number'],
    [['--as-of', 'noon'], '--as-of takes an ISO 8601 time from 1970 to 2999'],
    [['--as-of', '2026-01-31'], '--as-of needs a past'],
  ])('%j', async (argv, says) => {
    const { code, err } = await run(...argv);
    expect(code).toBe(2);
    expect(err).toContain(says);
  });
});

describe('without a history the printers are read once', () => {
  async function started(scenario: Parameters<typeof startDevice>[0], address: string): Promise<string[]> {
    const device = await startDevice(scenario, { address });
    devices.push(device);
    return [
      address,
      '--timeout',
      '1500',
      ...(device.snmpPort === null ? [] : ['--snmp-port', String(device.snmpPort)]),
      ...(device.ippUri === null ? [] : ['--ipp-uri', device.ippUri]),
    ];
  }

  test('levels and states now, no forecast yet: exit 0', async () => {
    const argv = await started({ name: 'gate-house' }, '127.35.30.1');
    const { code, out, err } = await run(...argv, '--json');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expectValid(out);
    const { forecasts } = documentOf(out);
    expect(forecasts.length).toBeGreaterThan(0);
    expect(forecasts[0]).toMatchObject({ printer: '127.35.30.1', enough: false, daysLeft: null });
    expect(forecasts[0]?.because).toContain('not enough history yet: one reading');
    expect(forecasts[0]?.percent).not.toBeNull();
  });

  test('an empty supply: exit 1, and it is on the order list', async () => {
    const supplies = [{ name: 'Black toner', type: 'toner', level: 0, capacity: 100, unit: 'percent' }];
    const argv = await started({ name: 'pantry', supplies } as Parameters<typeof startDevice>[0], '127.35.30.2');
    const { code, out } = await run(...argv);
    expect(code).toBe(1);
    expect(out).toMatch(/ORDER TODAY\n {2}1 x Black toner, for 127\.35\.30\.2\n {6}127\.35\.30\.2 is empty/);
  });

  test('nobody answers: exit 3 and a sentence', async () => {
    const { code, out } = await run('127.35.30.99', '--timeout', '200', '--retries', '0');
    expect(code).toBe(3);
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      '127.35.30.99 tells nothing of its supplies; "outfeed why 127.35.30.99" finds out more',
    );
  });
});
